"""The records of a score sheet: its definition, and the sheet filled from one recording."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal


@dataclass(frozen=True, slots=True)
class Scale:
    """Marks from `lowest` to `highest` in steps of `step`; `anchors` says some in words."""

    lowest: float
    highest: float
    step: float
    anchors: Mapping[float, str] = field(default_factory=dict)


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
class SheetDefinition:
    """A whole sheet; `file` is the name of the file it was read from."""

    name: str
    file: str
    scale: Scale
    sections: tuple[SheetSection, ...]

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
