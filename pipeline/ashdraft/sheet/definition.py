"""The records of a score sheet: its definition, and the sheet filled from one recording."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal


def exact(number: float) -> Fraction:
    """Return the number that was written: 0.1 is one tenth, not the nearest binary fraction."""
    return Fraction(repr(number))


def figure(number: float) -> str:
    """Return a number as it is written in a sheet: `7`, `7.5`, `33.333333`."""
    return f"{number:.12g}"


@dataclass(frozen=True, slots=True)
class Scale:
    """Marks from `lowest` to `highest` in steps of `step`; `anchors` says some in words."""

    lowest: float
    highest: float
    step: float
    anchors: Mapping[float, str] = field(default_factory=dict)

    def holds(self, mark: Fraction) -> bool:
        """True for a mark that lies on the scale and on one of its steps."""
        lowest = exact(self.lowest)
        on_step = ((mark - lowest) / exact(self.step)).denominator == 1
        return lowest <= mark <= exact(self.highest) and on_step


@dataclass(frozen=True, slots=True)
class Gathers:
    """Which evidence a row gathers; the words are those of docs/sheet.md."""

    topics: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    counts: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    timing: tuple[str, ...] = ()
    changes: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One criterion. `spoken` are the words by which a mark for it is said aloud."""

    id: str
    name: str
    asks: str
    weight: float
    spoken: tuple[str, ...]
    gathers: Gathers


@dataclass(frozen=True, slots=True)
class SheetSection:
    id: str
    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """Asked of the reviewer where a mark and the evidence pull apart; it proposes nothing.

    A row of `rows` (ids) is asked about when its mark is at least `mark_from` and at most
    `mark_to` and the evidence is as told: the `counts` together are `at_least` or more and
    `at_most` or fewer, or one of `words` was said about it, or nothing was (`silent`).
    """

    rows: tuple[str, ...]
    ask: str
    mark_from: float | None = None
    mark_to: float | None = None
    counts: tuple[str, ...] = ()
    at_least: int | None = None
    at_most: int | None = None
    words: tuple[str, ...] = ()
    silent: bool = False


@dataclass(frozen=True, slots=True)
class SheetDefinition:
    """A whole sheet; `file` is the name of the file it was read from, `text` what stands in it."""

    name: str
    file: str
    scale: Scale
    sections: tuple[SheetSection, ...]
    questions: tuple[Question, ...] = ()
    text: str = field(default="", repr=False)

    @property
    def sum(self) -> str:
        """The first 16 hexadecimal digits of the SHA-256 of the file's text."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:16]

    @property
    def rows(self) -> tuple[Row, ...]:
        return tuple(row for section in self.sections for row in section.rows)

    @property
    def weight(self) -> float:
        """All weights together."""
        return sum(row.weight for row in self.rows)


EvidenceKind = Literal["mark", "count", "time", "fact", "notes", "change", "quote"]


@dataclass(frozen=True, slots=True)
class Evidence:
    """One piece of evidence: the tool's words (`label`), the speaker's (`quote`), the seconds."""

    kind: EvidenceKind
    label: str
    quote: str = ""
    at: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class FilledRow:
    """A row with its evidence; `mark` only where one was spoken on the sheet's own scale."""

    row: Row
    mark: float | None
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True)
class FilledSheet:
    """The sheet of one recording; `unplaced` are spoken marks that belong to no single row."""

    definition: SheetDefinition
    rows: tuple[FilledRow, ...]
    unplaced: tuple[Evidence, ...] = ()

    def of_section(self, section: SheetSection) -> tuple[FilledRow, ...]:
        """The filled rows of one section, in order."""
        return tuple(r for r in self.rows if r.row in section.rows)
