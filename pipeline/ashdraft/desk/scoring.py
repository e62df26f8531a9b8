"""The score sheet as a page: boxes over the table of `draft.md`, the evidence beside them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..assemble.times import clock
from ..errors import InputMissing
from ..export.folder import DRAFT, MADE_BY
from ..output import atomic_write, open_folder
from ..page.document import parser
from ..sheet import fill
from ..sheet.definition import Evidence, SheetSection
from ..tally import tally
from ..tally.marks import Unread
from ..tally.report import block_lines
from ..tally.text import Text
from .files import current
from .marks import Cell, read_cells, with_mark
from .opened import Desk

CHANGED = "This row was changed in draft.md meanwhile. Shown is what stands there now."


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of evidence with the times that play it: seconds, and the clock."""

    words: str
    quoted: bool
    times: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A row of the sheet with what stands in its box."""

    id: str
    name: str
    asks: str
    cell: Cell
    evidence: tuple[Piece, ...]


def sheet(desk: Desk) -> Mapping[str, Any]:
    """Return what the page shows. Raises `DataDamaged` where the table cannot be read."""
    cells = read_cells(_draft(desk), desk.definition)
    filled = fill(desk.definition, desk.applied.notes.reading)
    sections: list[tuple[SheetSection, Sequence[Line]]] = [
        (
            section,
            [
                Line(
                    f.row.id, f.row.name, f.row.asks, cells[f.row.id],
                    tuple(_piece(e) for e in f.evidence),
                )
                for f in filled.of_section(section)
            ],
        )
        for section in desk.definition.sections
    ]  # fmt: skip
    return {"parts": sections, "scale": desk.definition.scale, "sheet_name": desk.definition.name}


def set_mark(desk: Desk, row: str, was: Cell, now: Cell) -> tuple[Cell, str]:
    """Write one box into `draft.md`; return what stands there then, and a complaint or nothing.

    Nothing but that cell changes, and nothing where another mark stands there than `was`.
    """
    with open_folder(desk.folder):
        text = _draft(desk)
        here = read_cells(text, desk.definition)[row]
        if here != was:
            return here, CHANGED
        try:
            made = with_mark(text, desk.definition, row, now)
        except Unread as fault:
            return here, f"{fault.what[:1].upper()}{fault.what[1:]}. {fault.say}"
        if made.data != text.data:
            atomic_write((desk.folder / DRAFT).resolve(), made.data)
        return read_cells(made, desk.definition)[row], ""


def total(desk: Desk) -> str:
    """Add the marks up, as `ashdraft tally` does, and return what it writes, as HTML."""
    desk.settle()
    lines = block_lines(tally(desk.folder).standing)
    return str(parser().render("\n".join(lines)))


def _draft(desk: Desk) -> Text:
    text = current(desk.folder)
    if text is None:
        raise InputMissing(f"{DRAFT} is missing.", MADE_BY)
    return text


def _piece(evidence: Evidence) -> Piece:
    times = tuple((start, clock(start)) for start in evidence.at)
    return Piece(evidence.quote or evidence.label, bool(evidence.quote), times)
