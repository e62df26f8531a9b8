"""Tables of a page: the score sheet as a form that can be read on a phone, the others as they are.

The score sheet is known by its head (docs/sheet.md). Its section becomes a heading of its rows,
and a mark that is not there becomes an empty box.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..assemble.score import HEAD

if TYPE_CHECKING:
    from markdown_it.token import Token

SECTION, NAME, MARK = HEAD.index("Section"), HEAD.index("Criterion"), HEAD.index("Mark")
_ROLES = {
    "table_open": "table", "thead_open": "rowgroup", "tbody_open": "rowgroup", "tr_open": "row",
    "th_open": "columnheader", "td_open": "cell",
}  # fmt: skip


def laid_out(tokens: Sequence[Token]) -> list[Token]:
    """Return the tokens with every table in a box of its own, and the score sheet laid out."""
    found: list[Token] = []
    n = 0
    while n < len(tokens):
        if tokens[n].type != "table_open":
            found.append(tokens[n])
            n += 1
            continue
        end = next(m for m in range(n, len(tokens)) if tokens[m].type == "table_close") + 1
        table = list(tokens[n:end])
        if _head(table) == HEAD:
            found += [_block('<div class="score">\n'), *_score(table), _block("</div>\n")]
        else:
            opening = '<div class="scroll" tabindex="0" role="group" aria-label="Table">\n'
            found += [_block(opening), *_named(table), _block("</div>\n")]
        n = end
    return found


def _head(table: Sequence[Token]) -> tuple[str, ...]:
    end = next(n for n, token in enumerate(table) if token.type == "thead_close")
    return tuple(token.content for token in table[:end] if token.type == "inline")


def _named(table: list[Token]) -> list[Token]:
    """Return a table; a first column without a head holds the names of its rows."""
    if _head(table)[0]:
        return table
    column = -1
    for n, token in enumerate(table):
        column = -1 if token.type == "tr_open" else column + (token.type in ("th_open", "td_open"))
        if token.type in ("td_open", "td_close", "th_open", "th_close") and column == 0:
            body = token.type.startswith("td")
            token.tag = "th" if body else "td"
            if body and token.nesting == 1:
                token.attrSet("scope", "row")
            table[n] = token
    return table


def _score(table: Sequence[Token]) -> list[Token]:
    """Return the sheet: sections over several rows, labels for a narrow page, empty boxes."""
    found: list[Token] = []
    opened: Token | None = None
    section, column, skipping = "", -1, False
    for n, token in enumerate(table):
        if role := _ROLES.get(token.type):
            token.attrSet("role", role)
        if token.type == "tr_open":
            column = -1
        if token.type in ("th_open", "td_open"):
            column += 1
        if token.type == "td_open":
            words = table[n + 1].content
            if column == SECTION:
                skipping = opened is not None and words == section
                if skipping and opened is not None:
                    opened.attrSet("rowspan", str(int(opened.attrGet("rowspan") or 1) + 1))
                else:
                    section, opened = words, token
                    token.tag = "th"
                    token.attrSet("scope", "rowgroup")
                    token.attrSet("role", "rowheader")
            elif column == NAME:
                token.attrSet("class", "name")
            elif column == MARK:
                token.attrSet("class", "mark" if words.strip() else "mark open")
            if column < len(HEAD):
                token.attrSet("data-label", HEAD[column])
        if skipping and column == SECTION and token.type in ("td_open", "inline", "td_close"):
            continue
        if token.type == "td_close" and column == SECTION:
            token.tag = "th"
        found.append(token)
    return found


def _block(content: str) -> Token:
    from markdown_it.token import Token

    return Token("html_block", "", 0, content=content)
