"""The few lines a person reads on the terminal when the draft is ready."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import zip_longest
from textwrap import wrap

from ..assemble.glance import ORDER
from ..facts import merged
from ..model import Count, Descriptor, Notes
from ..progress import printable
from ..session import Result
from ..sheet.printed import heading, printed

WIDTH = 80
LABEL = 12
COLUMN = 14
UNPARTED = "\N{NO-BREAK SPACE}"
HEADS = ("in all", "first third", "second third", "final third")
KINDS = {
    "hearing": ("doubtful hearing", "doubtful hearings"),
    "repair": ("word put right", "words put right"),
    "contradiction": ("contradiction", "contradictions"),
    "count": ("count that does not add up", "counts that do not add up"),
    "fact": ("fact given in two ways", "facts given in two ways"),
    "third": ("third placed by inference", "thirds placed by inference"),
    "missing": ("thing never mentioned", "things never mentioned"),
    "input": ("remark on the recording", "remarks on the recording"),
}
"""What the kinds of `Check` are called, one and several."""


def summary(result: Result) -> str:
    """Return the summary: plain text, no colour, control characters shown as escapes."""
    notes = result.notes
    rows = [
        _row("Recording", _recording(notes)),
        *(_row(label, line) for label, line in zip_longest(["Cigar"], _facts(notes), fillvalue="")),
        "",
        " " * LABEL + "".join(f"{head:>{COLUMN}}" for head in HEADS),
        _row("Touch-ups", _count(notes.reading.touch_ups)),
        _row("Relights", _count(notes.reading.relights)),
        _row("Notes", _descriptors(notes.reading.descriptors)),
        "",
        _row("To look at", _checks(notes)),
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


def _recording(notes: Notes) -> str:
    first, *more = notes.recordings
    name = f"{first.file} and {len(more)} more" if more else first.file
    length = max(r.offset + r.duration for r in notes.recordings)
    return f"{name}, {clock(length)}"


def _facts(notes: Notes) -> list[str]:
    """Return the facts as the draft prints them, several to a line and none parted."""
    facts = merged(notes.reading.facts, notes.typed_facts)
    shown = [printable(f"{heading(key)} {printed(key, facts)}") for key in ORDER if key in facts]
    whole = "; ".join(fact.replace(" ", UNPARTED) for fact in shown) or "no facts were given"
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


def _columns(numbers: Sequence[int]) -> str:
    return "".join(f"{number:>{COLUMN}}" for number in numbers)


def _checks(notes: Notes) -> str:
    if not notes.checks:
        return "nothing"
    counts = Counter(check.kind for check in notes.checks)
    kinds = ", ".join(
        f"{counts[kind]} {many if counts[kind] > 1 else one}"
        for kind, (one, many) in KINDS.items()
        if counts[kind]
    )
    return f"{kinds} (at the end of the draft)"
