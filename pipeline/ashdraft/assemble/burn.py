"""The burn: counts by third, times of each third, total smoking time, and the sentences."""

from __future__ import annotations

from collections.abc import Sequence

from ..model import Count, EventKind, Notes, Reading
from ..sheet.fill import THIRDS
from .coverage import status_line
from .markdown import added, table
from .placing import Places
from .prose import prose
from .times import clock

SILENT = "not mentioned"


def burn(notes: Notes, places: Places) -> str:
    """Return the section."""
    reading = notes.reading
    head = ("", *(name.capitalize() for name in THIRDS), "In all")
    rows = [
        _count("Touch-ups", reading.touch_ups, reading, "touch-up"),
        _count("Relights", reading.relights, reading, "relight"),
        *_times(notes),
    ]
    parts = ["## Burn", status_line("burn", reading), table(head, rows)]
    for third, name in enumerate(THIRDS, start=1):
        parts.append(prose(places.at("burn", third), added(f"{name.capitalize()}.")))
    parts.append(prose(places.at("burn"), added("The whole smoke.")))
    return "\n\n".join(part for part in parts if part)


def _count(name: str, count: Count, reading: Reading, kind: EventKind) -> Sequence[str]:
    """A row of the table. A third of which nobody told is not mentioned, it is not zero."""
    if not count.total:
        said = "none, as said" if count.utterances else SILENT
        return (name, *([""] * len(THIRDS)), said)
    cells = []
    for third, k in enumerate(count.by_third, start=1):
        at = [clock(e.start) for e in reading.events if e.kind == kind and e.third == third]
        times = f" ({', '.join(at)})" if k and at else ""
        cells.append(f"{k}{times}" if k else SILENT)
    loose = count.total - sum(count.by_third)
    return (name, *cells, f"{count.total}" + (f" ({loose} of no named third)" if loose else ""))


def _times(notes: Notes) -> list[Sequence[str]]:
    """The times of the thirds on the recording, and the smoking time, said and measured."""
    timing = notes.reading.timing
    begins = (timing.lit, timing.second_third, timing.final_third)
    ends = (timing.second_third, timing.final_third, timing.put_down)
    rows: list[Sequence[str]] = []
    if notes.reading.kind == "live":
        down = f"put down {clock(timing.put_down)}" if timing.put_down is not None else ""
        began = [_began(t, third, notes.reading) for third, t in enumerate(begins, start=1)]
        rows.append(("Began", *began, down))
    lasted = [
        f"{round((end - begin) / 60)} min" if begin is not None and end is not None else ""
        for begin, end in zip(begins, ends, strict=True)
    ]
    total = "; ".join(_total(notes)) or SILENT
    rows.append(("Lasted", *lasted, total))
    return rows


def _began(time: float | None, third: int, reading: Reading) -> str:
    """When a third began; where nobody said so, by when it had, from its first remark."""
    if time is not None:
        return clock(time)
    first = next((u.start for u in reading.utterances if u.third == third), None)
    return f"by {clock(first)}, inferred" if first is not None else SILENT


def _total(notes: Notes) -> list[str]:
    timing = notes.reading.timing
    parts = []
    for facts, word in ((notes.typed_facts, "typed"), (notes.reading.facts, "said")):
        if "smoking_minutes" in facts:
            parts.append(f"{facts['smoking_minutes']:g} min {word}")
    if timing.lit is not None and timing.put_down is not None:
        parts.append(f"{round((timing.put_down - timing.lit) / 60)} min on the recording")
    return parts
