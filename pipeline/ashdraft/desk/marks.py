"""The score table of a draft as a form: mark cells read and written, every other byte kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from ..assemble.markdown import escape
from ..assemble.score import HEAD
from ..sheet.block import BEGINS, ENDS
from ..sheet.definition import SheetDefinition, figure
from ..tally.front import KEY, read_front, with_tally
from ..tally.marks import read_mark
from ..tally.place import with_block
from ..tally.table import read_table
from ..tally.text import Text, bare, read

_MARK = HEAD.index("Mark")
_PIPE = re.compile(r"(?<!\\)\|")


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a row's mark cell: a mark or a dash as it is written, and the words."""

    mark: str
    comment: str


def read_cells(text: Text, definition: SheetDefinition) -> dict[str, Cell]:
    """Return the cells by row id. Raises `DataDamaged` as `ashdraft tally` does."""
    typed = read_table(text, definition).typed
    return {
        key: Cell("-" if t.dashed else "" if t.mark is None else figure(float(t.mark)), t.comment)
        for key, t in typed.items()
    }


def with_mark(text: Text, definition: SheetDefinition, row: str, cell: Cell) -> Text:
    """Return the text with another mark in one row's cell.

    Raises `tally.marks.Unread` for a mark that is none, `KeyError` for no row of the sheet, and
    `DataDamaged` where the table cannot be read with certainty, before or after.
    """
    words = " ".join(part for part in (cell.mark.strip(), cell.comment.strip()) if part)
    read_mark(words, definition.scale)
    line = read_table(text, definition).lines[row] - 1
    made = _with_cell(text, line, f" {escape(words)} ")
    read_table(made, definition)
    return made


def carried(fresh: Text, then: Text, before: Text, definition: SheetDefinition) -> Text:
    """Return the draft `fresh` with what the reviewer gave the score sheet of the draft `then`.

    That is: the mark cells that differ from those of `before`, the draft as it was assembled when
    `then` was, with the tally's block and its key in the front matter. Raises `DataDamaged`.
    """
    here, there, old = (read_table(t, definition).lines for t in (fresh, then, before))
    made = fresh
    for row, line in there.items():
        cell = _cell(then, line - 1)
        if cell != _cell(before, old[row] - 1):
            made = _with_cell(made, here[row] - 1, cell)
    block = _block(then)
    if block is not None and block != _block(before):
        made = with_block(made, read_table(made, definition).stop, block)
    tally = read_front(then).get(KEY)
    return with_tally(made, tally) if isinstance(tally, Mapping) else made


def _block(text: Text) -> list[str] | None:
    begins = [n for n, line in enumerate(text.lines) if BEGINS.match(line)]
    ends = [n for n, line in enumerate(text.lines) if ENDS.match(line)]
    if len(begins) != 1 or len(ends) != 1:
        return None
    inside = [bare(line) for line in text.lines[begins[0] + 1 : ends[0]]]
    while inside and not inside[0]:
        del inside[0]
    while inside and not inside[-1]:
        del inside[-1]
    return inside


def _cells(line: str) -> list[tuple[int, int]]:
    """Return where the cells of a table's line begin and end, between its pipes."""
    pipes = [m.start() for m in _PIPE.finditer(line)]
    edges = pipes if line.lstrip().startswith("|") else [-1, *pipes]
    edges = edges if bare(line).rstrip().endswith("|") else [*edges, len(bare(line))]
    return [(a + 1, b) for a, b in pairwise(edges)]


def _cell(text: Text, line: int) -> str:
    start, stop = _cells(text.lines[line])[_MARK]
    return text.lines[line][start:stop]


def _with_cell(text: Text, line: int, cell: str) -> Text:
    old = text.lines[line]
    start, stop = _cells(old)[_MARK]
    new = f"{old[:start]}{cell}{old[stop:]}"
    lines = (*text.lines[:line], new, *text.lines[line + 1 :])
    return read(text.name, ("\ufeff" * text.mark + "".join(lines)).encode())
