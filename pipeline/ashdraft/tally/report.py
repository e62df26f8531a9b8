"""What a tally says: the lines of its block in the draft, and those on the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..assemble.markdown import added, escape, items, table
from ..facts import OBTAINED
from ..sheet.block import OPEN_TOTAL
from ..sheet.definition import Row, SheetDefinition, figure
from .ask import Asked
from .marks import Typed
from .sums import Sum, Sums, two_decimals

FORMULA = (
    "A total is a weighted mean on the scale of the sheet: each mark times its weight, added up, "
    "divided by the weights of the rows that are marked, to two decimals. A row with a dash was "
    "not judged and counts in neither; a blank row is no zero."
)
HEAD = ("Total of", "Rows marked", "Weight marked", "Total")


@dataclass(frozen=True, slots=True)
class Standing:
    """All that one tally found. `changed` lists marks that differ from those at closing."""

    definition: SheetDefinition
    typed: Mapping[str, Typed]
    sums: Sums
    blank: tuple[Row, ...]
    asked: tuple[Asked, ...]
    obtained: str
    closed: bool
    blind: bool
    changed: tuple[str, ...] = ()


def block_lines(found: Standing) -> list[str]:
    """Return the Markdown of the block, a line each. Lists, tables and italics are the tool's."""
    if not found.sums.whole.marked and not found.sums.whole.dashed:
        total = [added(OPEN_TOTAL)]
    else:
        rows = [tuple(map(escape, row)) for row in _rows(found.sums)]
        total = [*table(HEAD, rows).split("\n"), "", added(FORMULA)]
    listed = [escape(line) for line in remarks(found)]
    return [*total, *(["", *items(listed).split("\n")] if listed else [])]


def remarks(found: Standing) -> list[str]:
    """Return what is missing, what is asked, and how the cigar was obtained; plain text."""
    dashed = [row.name for row in found.definition.rows if found.typed[row.id].dashed]
    lines = []
    if found.blank:
        lines.append(f"Not marked yet: {', '.join(row.name for row in found.blank)}")
    if dashed:
        lines.append(f"Not judged: {', '.join(dashed)}")
    lines += [f"Changed after closing: {change}" for change in found.changed]
    lines += [f"Question: {asked}" for asked in found.asked]
    lines.append(found.obtained)
    if found.blind:
        lines.append("Name, maker and price are withheld until the tally is closed")
    elif found.closed:
        lines.append("The tally is closed")
    return lines


def ask_obtained() -> str:
    """Return the question that stands until somebody said how the cigar was obtained."""
    return (
        "Question: How was the cigar obtained? Nobody said so; readers should know. Type: "
        f"ashdraft tally --obtained {' or '.join(OBTAINED)}"
    )


def terminal(found: Standing) -> str:
    """Return the summary for the terminal: the totals in columns, then the remarks."""
    rows = [HEAD, *_rows(found.sums)]
    widths = [max(len(row[n]) for row in rows) for n in range(len(HEAD))]
    lines = [_columns(row, widths) for row in rows]
    return "\n".join([*lines, "", *remarks(found)])


def _columns(row: Sequence[str], widths: Sequence[int]) -> str:
    first, *others = zip(row, widths, strict=True)
    cells = [f"{first[0]:<{first[1]}}", *(f"{cell:>{width}}" for cell, width in others)]
    return "   ".join(cells).rstrip()


def _rows(sums: Sums) -> list[tuple[str, ...]]:
    return [_cells(s) for s in (*sums.sections, sums.whole)]


def _cells(s: Sum) -> tuple[str, ...]:
    dashed = f", {s.dashed} not judged" if s.dashed else ""
    rows = f"{s.marked} of {s.rows}{dashed}"
    return (s.name, rows, figure(float(s.weight)), _mean(s))


def _mean(s: Sum) -> str:
    if s.mean is None:
        return "none" if s.rows > s.dashed else "not judged"
    return f"{two_decimals(Fraction(s.mean))}{'' if s.complete else ' so far'}"
