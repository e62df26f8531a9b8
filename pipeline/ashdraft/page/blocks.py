"""A draft as plain blocks, for documents that are not HTML: what is shown, and whose it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..assemble import HOW_TO_READ
from .document import WHOSE_WORDS, Document

if TYPE_CHECKING:
    from markdown_it.token import Token

Kind = Literal["heading", "text", "item", "quote", "code", "rule"]


@dataclass(frozen=True, slots=True)
class Run:
    """Text of one look."""

    text: str
    bold: bool = False
    italic: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph. `level` is a heading's level, or how deep an item stands; `mark` is its sign."""

    kind: Kind
    runs: tuple[Run, ...]
    level: int = 1
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table, its head first; every row has the same number of cells."""

    rows: tuple[tuple[tuple[Run, ...], ...], ...]


def blocks(document: Document) -> Iterator[Block | Table]:
    """Yield the document in order. Lines of a paragraph are joined by a blank, as browsers do."""
    lists: list[int | None] = []
    quoted = 0
    mark = ""
    tokens = document.tokens
    n = 0
    while n < len(tokens):
        token = tokens[n]
        if token.type == "table_open":
            end = next(m for m in range(n, len(tokens)) if tokens[m].type == "table_close")
            yield _table(tokens[n:end])
            n = end
        elif token.type in ("bullet_list_open", "ordered_list_open"):
            numbered = token.type == "ordered_list_open"
            lists.append(int(token.attrGet("start") or 1) if numbered else None)
        elif token.type in ("bullet_list_close", "ordered_list_close"):
            lists.pop()
        elif token.type == "list_item_open":
            number = lists[-1]
            mark = "\N{BULLET}" if number is None else f"{number}."
            lists[-1] = None if number is None else number + 1
        elif token.type in ("blockquote_open", "blockquote_close"):
            quoted += token.nesting
        elif token.type in ("fence", "code_block"):
            yield Block("code", (Run(token.content.rstrip("\n")),))
        elif token.type == "hr":
            yield Block("rule", ())
        elif token.type == "inline" and tokens[n - 1].type == "heading_open":
            yield Block("heading", runs(token), int(tokens[n - 1].tag[1:]))
        elif token.type == "inline" and lists:
            yield Block("item", runs(token), len(lists), mark)
            mark = ""
        elif token.type == "inline":
            shown = runs(token)
            if shown == (Run(HOW_TO_READ, italic=True),):
                shown = (Run(WHOSE_WORDS, italic=True),)
            yield Block("quote" if quoted else "text", shown)
        n += 1


def runs(inline: Token) -> tuple[Run, ...]:
    """Return the text of an inline token, neighbours of one look as one run."""
    found: list[Run] = []
    bold = italic = 0
    for child in inline.children or ():
        if child.type in ("strong_open", "strong_close"):
            bold += child.nesting
        elif child.type in ("em_open", "em_close"):
            italic += child.nesting
        text = " " if child.type in ("softbreak", "hardbreak") else child.content
        if not text:
            continue
        run = Run(text, bold > 0, italic > 0)
        if found and (found[-1].bold, found[-1].italic) == (run.bold, run.italic):
            run = Run(found.pop().text + text, run.bold, run.italic)
        found.append(run)
    return tuple(found)


def plain(cell: Sequence[Run]) -> str:
    """Return the text of runs."""
    return "".join(run.text for run in cell)


def _table(tokens: Sequence[Token]) -> Table:
    rows: list[list[tuple[Run, ...]]] = []
    for token in tokens:
        if token.type == "tr_open":
            rows.append([])
        elif token.type == "inline":
            rows[-1].append(runs(token))
    return Table(tuple(tuple(row) for row in rows))
