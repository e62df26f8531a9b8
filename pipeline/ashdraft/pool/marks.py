"""Typed marks of several sticks. A sheet that was never tallied has no marks, and no zeros."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..sheet import SheetDefinition
from .alpha import ordinal_alpha
from .figures import Summary, summary
from .sticks import Stick


@dataclass(frozen=True, slots=True)
class Criterion:
    """A row of the sheet. `marks` and `comments` by stick; a mark is None where there is none.

    `blank` are the sticks of those where the row is still empty; the others were dashed, "not
    judged". `weight` is None where the sheet's definition is not at hand.
    """

    id: str
    section: str
    name: str
    weight: float | None
    marks: Mapping[int, float | None]
    blank: tuple[int, ...]
    comments: Mapping[int, str]
    summary: Summary | None


@dataclass(frozen=True, slots=True)
class Agreement:
    """Ordinal alpha of `reviewers` over `criteria`, each with the median of a reviewer's sticks.

    `alpha` is None where it is not defined: nothing marked by two, or all marks one.
    """

    alpha: float | None
    reviewers: tuple[str, ...]
    criteria: int


@dataclass(frozen=True, slots=True)
class PooledSheet:
    """The sticks marked on one sheet, by its name. Sheets of other names stand by themselves."""

    name: str
    sticks: tuple[int, ...]
    criteria: tuple[Criterion, ...]
    sections: Mapping[str, Summary | None]
    total: Summary | None
    agreement: Agreement | None

    @property
    def unmarked(self) -> dict[int, tuple[str, ...]]:
        """The names of the rows that were not judged, by stick."""
        rows = {s: tuple(c.name for c in self.criteria if c.marks[s] is None) for s in self.sticks}
        return {stick: names for stick, names in rows.items() if names}


def pooled_sheets(
    sticks: Sequence[Stick], definition: SheetDefinition | None = None
) -> tuple[PooledSheet, ...]:
    """Return a sheet for each one that sticks were tallied on, by name.

    Sheets of one name that differ in content are two. `definition` is used for sticks of which
    the sheet is not kept. A stick whose sheet is not known joins the one sheet of its name.
    """
    found = {s.number: _definition(s, definition) for s in sticks if s.tallied}
    groups: dict[tuple[str, str], list[Stick]] = {}
    for stick in sticks:
        if stick.tallied:
            name, known = stick.tallied.name, found[stick.number]
            same = {d.sum for d in found.values() if d and d.name == name}
            total = known.sum if known else min(same) if len(same) == 1 else ""
            groups.setdefault((name, total), []).append(stick)
    return tuple(
        _pooled(name, row, next((d for s in row if (d := found[s.number])), None))
        for (name, _), row in sorted(groups.items(), key=lambda item: item[0])
    )


def _definition(stick: Stick, given: SheetDefinition | None) -> SheetDefinition | None:
    """The sheet of a stick, if it is the one it was tallied on."""
    name = stick.tallied.name if stick.tallied else ""
    return next((d for d in (stick.sheet, given) if d and d.name == name), None)


def _pooled(name: str, sticks: Sequence[Stick], definition: SheetDefinition | None) -> PooledSheet:
    own = {s.number: s.tallied for s in sticks if s.tallied}
    rows = {row.id: row for row in definition.rows} if definition else {}
    titles = {s.id: s.name for s in definition.sections} if definition else {}
    ids = dict.fromkeys((*rows, *(row.id for t in own.values() for row in t.rows)))
    sections = {row.id: row.section for t in own.values() for row in t.rows}
    criteria = []
    for row in (i for i in ids if i in sections):
        marks = {n: next((r.mark for r in t.rows if r.id == row), None) for n, t in own.items()}
        comments = {n: r.comment for n, t in own.items() for r in t.rows if r.id == row}
        criteria.append(
            Criterion(
                row,
                titles.get(sections[row], sections[row]),
                rows[row].name if row in rows else row,
                rows[row].weight if row in rows else None,
                marks,
                tuple(n for n, t in own.items() if row in t.unmarked),
                {n: text for n, text in comments.items() if text},
                summary(marks),
            )
        )
    totals = {
        titles.get(section, section): summary(
            {
                n: next((s.total for s in t.sections if s.id == section), None)
                for n, t in own.items()
            }
        )
        for section in dict.fromkeys(sections[c.id] for c in criteria)
    }
    total = summary({n: t.total for n, t in own.items()})
    reviewers = {s.number: s.reviewer for s in sticks if s.number in own}
    return PooledSheet(
        name, tuple(own), tuple(criteria), totals, total, _agreement(criteria, reviewers)
    )


def _agreement(
    criteria: Sequence[Criterion], reviewers: Mapping[int, str | None]
) -> Agreement | None:
    """Return how far reviewers agree; None unless two or more are named."""
    names = sorted({name for name in reviewers.values() if name})
    if len(names) < 2:
        return None
    units = []
    for criterion in criteria:
        own: dict[str, list[float]] = {}
        for stick, mark in criterion.marks.items():
            if (name := reviewers[stick]) and mark is not None:
                own.setdefault(name, []).append(mark)
        units.append([statistics.median(marks) for marks in own.values()])
    paired = sum(len(unit) > 1 for unit in units)
    return Agreement(ordinal_alpha(units), tuple(names), paired)
