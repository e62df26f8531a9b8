"""Check before publishing: everything the tool is not sure of, with the seconds to listen to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..model import Notes, Reading
from ..sheet.fill import THIRDS
from .coverage import unmentioned
from .markdown import added, escape, items, quoted
from .times import clock, listen

_FEW = 8
"""Times listed in one line before the rest is only counted."""


def checks(notes: Notes) -> str:
    """Return the section; a heading under which nothing stands says so."""
    sections = [
        f"### {name}\n\n{items(lines) if lines else added('Nothing was found.')}"
        for name, lines in findings(notes)
    ]
    return "\n\n".join(["## Check before publishing", *sections])


def findings(notes: Notes) -> tuple[tuple[str, Sequence[str]], ...]:
    """Return the headings of the section, each with the Markdown lines under it."""
    reading = notes.reading
    return (
        ("Doubtful hearings", _hearings(notes)),
        ("Repairs made", _repairs(notes)),
        ("Contradictions", _told(notes, ("contradiction", "count", "fact"))),
        ("Never mentioned", [*_never(reading), *_told(notes, ("missing",))]),
        ("Thirds that were inferred", [*_inferred(reading), *_told(notes, ("third",))]),
        ("Names and files", [*_unnamed(notes), *_told(notes, ("input",))]),
    )


def _told(notes: Notes, kinds: Sequence[str]) -> list[str]:
    return [
        f"{escape(check.message)}{_at(notes.reading, check.utterances)}"
        for check in notes.checks
        if check.kind in kinds
    ]


def _hearings(notes: Notes) -> list[str]:
    doubted = [
        f"Heard {quoted(r.heard)}; {quoted(r.meant)} may be meant ({escape(r.reason)})."
        f"{_at(notes.reading, (r.utterance,))}"
        for r in notes.repairs
        if not r.applied
    ]
    return [*_told(notes, ("hearing",)), *doubted]


def _repairs(notes: Notes) -> list[str]:
    return [
        f"Heard {quoted(r.heard)}, written {quoted(r.meant)} ({escape(r.reason)})."
        f"{_at(notes.reading, (r.utterance,))}"
        for r in notes.repairs
        if r.applied
    ]


def _never(reading: Reading) -> list[str]:
    return [f"{name}: {escape(', '.join(silent))}" for name, silent in unmentioned(reading)]


def _inferred(reading: Reading) -> list[str]:
    """Thirds whose place in the recording nobody announced, and sentences placed by the clock."""
    lines = []
    for third, name in enumerate(THIRDS, start=1):
        own = [u for u in reading.utterances if u.third == third]
        if own and not any(u.third_basis in ("said", "cue") for u in own):
            lines.append(f"Nobody said where the {name} begins.{_starts([own[0].start])}")
    timed = [u.start for u in reading.utterances if u.third_basis == "timed"]
    if timed:
        lines.append(f"Placed in a third by the clock alone.{_starts(timed)}")
    return lines


def _unnamed(notes: Notes) -> list[str]:
    missing = [key for key in ("name", "maker") if key not in notes.typed_facts]
    return [f"Not typed: {' and '.join(missing)} of the cigar"] if missing else []


def _at(reading: Reading, ids: Iterable[int]) -> str:
    wanted = frozenset(ids)
    return _starts([u.start for u in reading.utterances if u.id in wanted])


def _starts(starts: Sequence[float]) -> str:
    if not starts:
        return ""
    if len(starts) == 1:
        return f" Listen at {listen(starts[0])}."
    more = f" and {len(starts) - _FEW} more" if len(starts) > _FEW else ""
    return f" Listen at {', '.join(clock(s) for s in starts[:_FEW])}{more}."
