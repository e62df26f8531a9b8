"""Puts the evidence of one recording beside each row of a sheet. Suggests nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..export.clock import chapter_time
from ..model import Count, EventKind, Mark, Reading, Timing
from .definition import Evidence, FilledRow, FilledSheet, Row, Scale, SheetDefinition, exact
from .notes import IN_THE_SMOKE, Note, changes, present
from .printed import heading, printed
from .topics import spoken, topics

THIRDS = ("first third", "second third", "final third")

_COUNTS: dict[str, tuple[EventKind, str, str]] = {
    "touch_ups": ("touch-up", "touch-up", "touch-ups"),
    "relights": ("relight", "relight", "relights"),
}
_TIMES = {
    "lit": "lit at",
    "second_third": "second third from",
    "final_third": "final third from",
    "put_down": "put down at",
}


def fill(definition: SheetDefinition, reading: Reading) -> FilledSheet:
    """Return the sheet with evidence from `reading`.

    A mark stands in a row only where it was spoken for that row and on the sheet's own scale;
    any other spoken mark is evidence and is never converted. Of several marks for a row the
    last one counts, and the earlier ones are shown.
    """
    placed = {word for row in definition.rows for word in row.spoken}
    rows = tuple(_filled(row, definition.scale, reading) for row in definition.rows)
    left = [_said(m, reading, named=True) for m in reading.marks if m.item.lower() not in placed]
    return FilledSheet(definition, rows, tuple(left))


def _filled(row: Row, scale: Scale, reading: Reading) -> FilledRow:
    marks = _of_row(row, reading.marks)
    earlier = sorted([*_of_row(row, reading.earlier_marks), *marks[:-1]], key=lambda m: m.utterance)
    mark = marks[-1].value if marks and _fits(marks[-1], scale) else None
    evidence = [
        *_marks(marks[-1:], earlier, reading),
        *(e for name in row.gathers.counts if (e := counted(name, reading))),
        *_times(row.gathers.timing, reading),
        *(e for key in row.gathers.facts if (e := _fact(key, reading))),
        *_notes(row, reading),
        *(_changes(reading) if row.gathers.changes else ()),
        *_quotes(row, reading),
    ]
    return FilledRow(row, mark, tuple(evidence))


def _fits(mark: Mark, scale: Scale) -> bool:
    """True for a mark that was spoken on the sheet's own scale and stands on it."""
    return mark.scale == scale.highest and scale.holds(exact(mark.value))


def _of_row(row: Row, marks: Sequence[Mark]) -> list[Mark]:
    """The marks spoken for a row, in the order said."""
    own = [m for m in marks if m.item.lower() in row.spoken]
    return sorted(own, key=lambda m: m.utterance)


def _marks(last: Sequence[Mark], earlier: Sequence[Mark], reading: Reading) -> Iterator[Evidence]:
    for mark in last:
        yield _said(mark, reading)
    for mark in reversed(earlier):
        said = _said(mark, reading)
        yield Evidence("mark", said.label.replace("said:", "earlier:", 1), at=said.at)


def _said(mark: Mark, reading: Reading, *, named: bool = False) -> Evidence:
    of = f" of {mark.scale:g}" if mark.scale else ", no scale named"
    item = f"{mark.item} " if named else ""
    return Evidence(
        "mark", f"said: {item}{mark.value:g}{of}", at=_starts(reading, [mark.utterance])
    )


def counted(name: str, reading: Reading) -> Evidence | None:
    """A count by thirds; None where nothing was said about it."""
    count: Count = getattr(reading, name)
    kind, one, many = _COUNTS[name]
    if not count.total and not count.utterances:
        return None
    at = tuple(e.start for e in reading.events if e.kind == kind)
    at = at or _starts(reading, count.utterances)
    if not count.total:
        return Evidence("count", f"no {one}, as said", at=at)
    thirds = [f"{THIRDS[n]} {k}" for n, k in enumerate(count.by_third) if k]
    if loose := count.total - sum(count.by_third):
        thirds.append(f"in no named third {loose}")
    total = f"{count.total} {one if count.total == 1 else many}"
    return Evidence("count", f"{total} ({', '.join(thirds)})", at=at)


def _times(names: Sequence[str], reading: Reading) -> Iterator[Evidence]:
    times: Timing = reading.timing
    known = [(name, getattr(times, name)) for name in names]
    parts = [f"{_TIMES[name]} {chapter_time(int(t))}" for name, t in known if t is not None]
    if parts:
        yield Evidence("time", "; ".join(parts))


def _fact(key: str, reading: Reading) -> Evidence | None:
    if key not in reading.facts:
        return None
    at = _starts(reading, reading.fact_evidence.get(key, ()))
    return Evidence("fact", f"said: {heading(key)} {printed(key, reading.facts)}", at=at)


def _notes(row: Row, reading: Reading) -> Iterator[Evidence]:
    """Tasting notes by third, those of no third last."""
    chosen = [
        d
        for d in reading.descriptors
        if d.source in row.gathers.sources or d.family in row.gathers.families
    ]
    for third in (1, 2, 3, None):
        of_third = [d for d in chosen if d.third == third]
        smoked = any(d.source in IN_THE_SMOKE for d in of_third)
        name = f"{THIRDS[third - 1]}: " if third else "of no one third: " if smoked else ""
        there = present(of_third)
        if there:
            terms = ", ".join(term(note) for note in there)
            yield Evidence("notes", f"{name}{terms}", at=tuple(t for n in there for t in n.at))
        gone = [d for d in of_third if d.polarity == "absent"]
        if gone:
            terms = ", ".join(dict.fromkeys(d.term for d in gone))
            at = tuple(d.start for d in gone)
            yield Evidence("notes", f"{name}said not to be there: {terms}", at=at)


def term(note: Note) -> str:
    """Return a note with its intensity, where that was said: `cedar (faint)`."""
    return note.term if note.intensity == "plain" else f"{note.term} ({note.intensity})"


def _changes(reading: Reading) -> Iterator[Evidence]:
    for third in (2, 3):
        change = changes(reading, third)
        fields = (("new", change.new), ("back", change.back), ("said to be gone", change.gone))
        parts = [f"{name}: {', '.join(terms)}" for name, terms in fields if terms]
        if parts:
            yield Evidence("change", f"{THIRDS[third - 1]}, {'; '.join(parts)}")


def _quotes(row: Row, reading: Reading) -> Iterator[Evidence]:
    known = topics()
    ids = {u for topic in row.gathers.topics for u in spoken(known[topic], reading).utterances}
    for utterance in reading.utterances:
        if utterance.id in ids and utterance.text:
            yield Evidence("quote", "", utterance.text, (utterance.start,))


def _starts(reading: Reading, ids: Sequence[int]) -> tuple[float, ...]:
    wanted = frozenset(ids)
    return tuple(u.start for u in reading.utterances if u.id in wanted)
