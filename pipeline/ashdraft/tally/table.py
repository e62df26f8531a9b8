"""Reads the score table of a draft back, row by row, and refuses what it cannot be sure of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..assemble.score import HEAD
from ..errors import DataDamaged
from ..sheet.definition import Row, SheetDefinition, figure
from .marks import Typed, Unread, read_mark
from .text import Text, bare

if TYPE_CHECKING:
    from markdown_it.token import Token

_HEAD_LINE = f"| {' | '.join(HEAD)} |"


@dataclass(frozen=True, slots=True)
class Cells:
    """A row of the table as it is shown, and its line (from 1)."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The table: lines counted from 0, `stop` the one after its last; what each row (by id) has."""

    first: int
    stop: int
    typed: Mapping[str, Typed]
    lines: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Fault:
    line: int
    row: str
    what: str
    say: str


def read_table(text: Text, definition: SheetDefinition) -> Table:
    """Return what was typed into the score table of a draft.

    Every row of the sheet must be there once, by its section, criterion and weight, in any
    order. Raises `DataDamaged` with the line of the first fault and what to type there.
    """
    first, stop, rows = _only_table(text)
    known = {(s.name, row.name): row for s in definition.sections for row in s.rows}
    typed: dict[str, Typed] = {}
    lines: dict[str, int] = {}
    faults: list[Fault] = []
    for cells in rows:
        fault = _shape(text, cells)
        row = known.get((cells.cells[0], cells.cells[1]))
        if fault is None and row is None:
            fault = _unknown(cells)
        elif fault is None and row is not None:
            fault = _row(cells, row, definition, typed, lines)
        if fault:
            faults.append(fault)
    lost = [row for row in definition.rows if row.id not in lines]
    if not any(fault.row for fault in faults):
        faults += [_lost(text, row, first, stop) for row in lost]
    if faults:
        raise _refusal(text.name, faults)
    return Table(first, stop, typed, lines)


def _row(
    cells: Cells,
    row: Row,
    definition: SheetDefinition,
    typed: dict[str, Typed],
    lines: dict[str, int],
) -> Fault | None:
    """Take one row in; return what is wrong with it."""
    if row.id in lines:
        what = f"this row stands a second time; the first is in line {lines[row.id]}"
        return Fault(cells.line, row.name, what, "Delete one of the two lines.")
    lines[row.id] = cells.line
    weight = figure(row.weight)
    if cells.cells[2] != weight:
        what = f"the weight on the sheet is {weight}"
        return Fault(cells.line, row.name, what, f"Type {weight} into the column Weight again.")
    try:
        typed[row.id] = read_mark(cells.cells[3], definition.scale)
    except Unread as fault:
        return Fault(cells.line, row.name, fault.what, fault.say)
    return None


def _only_table(text: Text) -> tuple[int, int, list[Cells]]:
    """The one score table: first line, line after the last, its rows."""
    found = [t for t in _tables(text) if t[2] and t[2][0].cells == HEAD]
    if len(found) == 1:
        first, stop, rows = found[0]
        return first, stop, rows[1:]
    if found:
        again = found[1][0] + 1
        what = f"the score table stands a second time; the first is in line {found[0][0] + 1}"
        raise _refusal(text.name, [Fault(again, "", what, "Delete one of the two tables.")])
    head = [n for n, line in enumerate(text.lines, 1) if HEAD[1] in line and HEAD[3] in line]
    where = [n for n, line in enumerate(text.lines, 1) if line.startswith("## Score sheet")]
    say = f"Type its first two lines anew: {_HEAD_LINE} and {'| --- ' * len(HEAD)}|"
    if head:
        raise _refusal(
            text.name, [Fault(head[0], "", "the head of the score table is damaged", say)]
        )
    line = where[0] if where else max(len(text.lines), 1)
    raise _refusal(text.name, [Fault(line, "", "no score table is found", say)])


def _tables(text: Text) -> Iterator[tuple[int, int, list[Cells]]]:
    from markdown_it import MarkdownIt

    first, stop = 0, 0
    rows: list[Cells] = []
    for token in MarkdownIt("commonmark").enable("table").parse(text.body):
        if token.type == "table_open" and token.level == 0 and token.map:
            (first, stop), rows = token.map, []
        elif token.type == "tr_open" and token.map:
            rows.append(Cells(token.map[0] + 1, ()))
        elif token.type == "inline" and rows and token.level > 2:
            rows[-1] = Cells(rows[-1].line, (*rows[-1].cells, shown(token)))
        elif token.type == "table_close" and token.level == 0:
            yield first, stop, rows


def shown(inline: Token) -> str:
    """Return the text of a cell as a reader sees it; HTML as it was typed, a picture as one."""
    parts = [f"!{c.content}" if c.type == "image" else c.content for c in inline.children or ()]
    return " ".join("".join(parts).split())


def _shape(text: Text, cells: Cells) -> Fault | None:
    """Complain of a row with too many cells, which Markdown drops, or too few, which it adds."""
    from markdown_it.rules_block.table import escapedSplit

    parts = escapedSplit(bare(text.lines[cells.line - 1]).strip())
    count = len(parts[parts[0] == "" : len(parts) - (len(parts) > 1 and parts[-1] == "")])
    name = cells.cells[1]
    if count == len(HEAD):
        return None
    if count == 1:
        what = "this line is read as a row of the score table"
        return Fault(cells.line, name or "?", what, "Leave an empty line below the table.")
    what = f"{count} cells stand in this row, and the table has {len(HEAD)}"
    say = "Take the sign | out of what you typed." if count > len(HEAD) else "Type the missing |."
    return Fault(cells.line, name, what, say)


def _unknown(cells: Cells) -> Fault:
    what = "no row of the sheet has this section and criterion"
    say = "Type both as they were; a row of your own goes into a sheet file (--sheet)."
    return Fault(cells.line, cells.cells[1], what, say)


def _lost(text: Text, row: Row, first: int, stop: int) -> Fault:
    """A row that is missing; named by the line where it was cut off, if it still stands there."""
    for n, line in enumerate(text.lines):
        if not first <= n < stop and row.name in [cell.strip() for cell in line.split("|")[1:]]:
            what = "this row is cut off from the score table"
            return Fault(n + 1, row.name, what, "Take out what stands between it and the table.")
    what = f"the row {row.name} is missing"
    say = "Type it again, with its section, criterion and weight; a dash means not judged."
    return Fault(first + 1, "", what, say)


def _refusal(name: str, faults: Sequence[Fault]) -> DataDamaged:
    """Return the error for the first fault in the file, and count the others."""
    worst, *others = sorted(faults, key=lambda fault: fault.line)
    row = f" ({worst.row})" if worst.row else ""
    more = f" {len(others)} more to mend below it." if others else ""
    return DataDamaged(f"{name}, line {worst.line}{row}: {worst.what}.{more}", worst.say)
