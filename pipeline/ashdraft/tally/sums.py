"""The totals: weighted means in exact fractions, over the rows that are marked.

    total = sum of weight x mark / sum of weight

over the rows with a mark, of a section or of the sheet. A dash takes its row out of both sums, a
blank does so only for now: a total over less than all rows is never called complete.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from ..model import MarkedRow, MarkedSection, MarkedSheet
from ..sheet.definition import Row, SheetDefinition, exact
from .marks import Typed


@dataclass(frozen=True, slots=True)
class Sum:
    """One line of the totals: rows marked, dashed and in all; weights of those marked; the mean."""

    name: str
    marked: int
    dashed: int
    rows: int
    weight: Fraction
    mean: Fraction | None

    @property
    def complete(self) -> bool:
        """True where every row is marked or dashed, and one at least is marked."""
        return self.marked + self.dashed == self.rows and self.mean is not None


@dataclass(frozen=True, slots=True)
class Sums:
    sections: tuple[Sum, ...]
    whole: Sum


def add_up(definition: SheetDefinition, typed: Mapping[str, Typed]) -> Sums:
    """Return the totals of each section and of the whole sheet; `typed` is by row id."""
    sections = tuple(_sum(section.name, section.rows, typed) for section in definition.sections)
    return Sums(sections, _sum("In all", definition.rows, typed))


def two_decimals(number: Fraction) -> Decimal:
    """Return a number to two decimals, halves upwards: 6.125 is 6.13."""
    return Decimal(floor(number * 100 + Fraction(1, 2))).scaleb(-2)


def unmarked(definition: SheetDefinition, typed: Mapping[str, Typed]) -> tuple[Row, ...]:
    """Return the rows that are still blank."""
    return tuple(r for r in definition.rows if typed[r.id].mark is None and not typed[r.id].dashed)


def marked_sheet(
    definition: SheetDefinition, typed: Mapping[str, Typed], *, closed: bool
) -> MarkedSheet:
    """Return what `notes.json` keeps of a tally."""
    sums = add_up(definition, typed)
    rows = tuple(
        MarkedRow(row.id, section.id, _number(typed[row.id].mark), typed[row.id].comment)
        for section in definition.sections
        for row in section.rows
    )
    sections = tuple(
        MarkedSection(section.id, _rounded(s.mean), float(s.weight))
        for section, s in zip(definition.sections, sums.sections, strict=True)
    )
    blank = tuple(row.id for row in unmarked(definition, typed))
    total = _rounded(sums.whole.mean) if sums.whole.complete else None
    return MarkedSheet(definition.name, closed, rows, sections, total, blank)


def _sum(name: str, rows: Sequence[Row], typed: Mapping[str, Typed]) -> Sum:
    pairs = [(exact(r.weight), mark) for r in rows if (mark := typed[r.id].mark) is not None]
    dashed = sum(typed[r.id].dashed for r in rows)
    weight = _total(w for w, _ in pairs)
    mean = _total(w * m for w, m in pairs) / weight if pairs else None
    return Sum(name, len(pairs), dashed, len(rows), weight, mean)


def _total(numbers: Iterable[Fraction]) -> Fraction:
    return sum(numbers, Fraction(0))


def _rounded(number: Fraction | None) -> float | None:
    return None if number is None else float(two_decimals(number))


def _number(mark: Fraction | None) -> float | int | None:
    if mark is None:
        return None
    return int(mark) if mark.denominator == 1 else float(mark)
