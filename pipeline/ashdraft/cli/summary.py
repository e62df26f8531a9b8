"""The few lines a person reads on the terminal when the draft is ready."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from textwrap import wrap

from ..assemble.checks import findings
from ..assemble.glance import ORDER
from ..facts import merged
from ..model import Count, Descriptor, Notes
from ..progress import printable
from ..session import Result
from ..sheet.printed import heading, printed
from ..tally.secrets import WITHHELD

WIDTH = 80
LABEL = 12
COLUMN = 14
UNPARTED = "\N{NO-BREAK SPACE}"
HEADS = ("in all", "first third", "second third", "final third")


def summary(result: Result) -> str:
    """Return the summary: plain text, no colour, control characters shown as escapes."""
    notes = result.notes
    rows = [
        _row("Recording", _recording(notes)),
        *_block("Cigar", _facts(notes, WITHHELD if result.blind else ())),
        "",
        _row("", _columns(HEADS)),
        _row("Touch-ups", _count(notes.reading.touch_ups)),
        _row("Relights", _count(notes.reading.relights)),
        _row("Notes", _descriptors(notes.reading.descriptors)),
        "",
        *_block("To check", _findings(notes)),
        _row("Open next", str(result.draft)),
    ]
    return "\n".join(rows)


def clock(seconds: float) -> str:
    """Return a duration in words: `1 h 04 min`, `31 min 20 s`, `45 s`."""
    minutes, second = divmod(round(seconds), 60)
    hours, minute = divmod(minutes, 60)
    if hours:
        return f"{hours} h {minute:02} min"
    return f"{minute} min {second:02} s" if minute else f"{second} s"


def _row(label: str, text: str) -> str:
    return printable(f"{label:<{LABEL}}{text}")


def _block(label: str, lines: Sequence[str]) -> list[str]:
    return [_row("" if at else label, line) for at, line in enumerate(lines)]


def _recording(notes: Notes) -> str:
    first, *more = notes.recordings
    name = f"{first.file} and {len(more)} more" if more else first.file
    length = max(r.offset + r.duration for r in notes.recordings)
    return f"{name}, {clock(length)}"


def _facts(notes: Notes, withheld: Collection[str]) -> list[str]:
    """Return the facts as the draft prints them; those that nobody gave are not listed."""
    facts = merged(notes.reading.facts, notes.typed_facts)
    keys = [key for key in ORDER if key in facts and key not in withheld]
    shown = [f"{heading(key)} {printed(key, facts)}" for key in keys]
    return _lines(shown) or ["no facts were given"]


def _findings(notes: Notes) -> list[str]:
    """Return the headings of the draft's last section that hold something, and how much."""
    held = [f"{name.lower()} {len(lines)}" for name, lines in findings(notes) if lines]
    return _lines(held) or ["nothing"]


def _lines(items: Sequence[str]) -> list[str]:
    """Return several items to a line, and none parted."""
    whole = "; ".join(printable(item).replace(" ", UNPARTED) for item in items)
    return [line.replace(UNPARTED, " ") for line in wrap(whole, WIDTH - LABEL)]


def _count(count: Count) -> str:
    if not count.total and not count.utterances:
        return "not mentioned"
    return _columns([count.total, *count.by_third])


def _descriptors(descriptors: Sequence[Descriptor]) -> str:
    present = [d for d in descriptors if d.polarity == "present"]
    thirds = Counter(d.third for d in present)
    text = _columns([len(present), thirds[1], thirds[2], thirds[3]])
    absent = len(descriptors) - len(present)
    return f"{text}   and {absent} said not to be there" if absent else text


def _columns(cells: Sequence[object]) -> str:
    return "".join(f"{cell!s:>{COLUMN}}" for cell in cells)
