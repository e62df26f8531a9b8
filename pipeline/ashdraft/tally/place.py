"""Puts new lines into the tally's block of a draft, or makes the block below the table."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import DataDamaged
from ..sheet.block import BEGINS, ENDS, block, own
from .text import Text, bare


def with_block(text: Text, below: int, lines: Sequence[str]) -> Text:
    """Return the text with `lines` in the block; `below` is the line after the score table.

    Raises `DataDamaged` where one end of the block is lost or stands twice, and where words
    were typed into it, which would be written over.
    """
    begins = [n for n, line in enumerate(text.lines) if BEGINS.match(line)]
    ends = [n for n, line in enumerate(text.lines) if ENDS.match(line)]
    if not begins and not ends:
        return text.with_lines(below, below, ["", *block(lines)])
    if len(begins) != 1 or len(ends) != 1 or begins[0] > ends[0]:
        line = max([*begins, *ends]) + 1
        raise DataDamaged(
            f"{text.name}, line {line}: of the lines [tally] and [tallied] one is lost or stands "
            "twice.",
            "Delete all of them and what stands between; they are written anew below the table.",
        )
    first, stop = begins[0], ends[0] + 1
    if first and bare(text.lines[first - 1]).strip():
        raise DataDamaged(
            f"{text.name}, line {first + 1}: no empty line stands above this one.",
            "Type an empty line above it.",
        )
    written = ENDS.match(text.lines[stop - 1])
    inside = [bare(line) for line in text.lines[first + 1 : stop - 1]]
    if not written or written[1] != own(inside):
        raise DataDamaged(
            f"{text.name}, line {first + 2}: something was typed between [tally] and [tallied], "
            "where Ashdraft writes.",
            f"Move your words elsewhere and delete the lines {first + 1} to {stop}.",
        )
    return text.with_lines(first, stop, block(lines))
