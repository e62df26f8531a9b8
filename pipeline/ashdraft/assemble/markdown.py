"""Markdown that shows what it is given: escaping, and the few forms the draft is made of.

Escaping follows CommonMark 0.31 (backslash escapes, entity references). Braces and `&`, `<`,
`>`, `~` are written as entities because Liquid templates run before Markdown and because not
every Markdown program takes a backslash before them; `$$` because some make mathematics of it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

_SIGNS = str.maketrans(
    {
        "&": "&amp;", "<": "&lt;", ">": "&gt;", "{": "&#123;", "}": "&#125;", "~": "&#126;",
        "\\": "\\\\", "`": "\\`", "*": "\\*", "_": "\\_", "[": "\\[", "]": "\\]", "|": "\\|",
    }
)  # fmt: skip
_LINE_START = re.compile(r"^(?:#+|[-+=:]+)")
_NUMBERED = re.compile(r"^(\d{1,9})([.)])(?=\s|$)")
_INVISIBLE = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]+")
_ESCAPED = re.compile(r"\\([!-/:-@\[-`{-~])")
_ENTITIES = {"&lt;": "<", "&gt;": ">", "&#123;": "{", "&#125;": "}", "&#126;": "~",
             "&quot;": '"', "&#36;": "$", "&amp;": "&"}  # fmt: skip


def one_line(text: str) -> str:
    """Return `text` on one line, without control characters and marks of text direction."""
    return " ".join(_INVISIBLE.sub(" ", text).split())


def escape(text: str) -> str:
    """Return `text` on one line so that Markdown, HTML and templates show it as it is."""
    line = one_line(text).translate(_SIGNS).replace("$$", "&#36;&#36;")
    line = _LINE_START.sub(lambda m: "".join(f"\\{c}" for c in m[0]), line)
    return _NUMBERED.sub(r"\1\\\2", line)


def plain(line: str) -> str:
    """Return the text that `escape` was given; lines without escapes come back unchanged."""
    text = _ESCAPED.sub(r"\1", line)
    for entity, sign in _ENTITIES.items():
        text = text.replace(entity, sign)
    return text


def added(text: str) -> str:
    """Return a line of the tool's own, set in italics. `text` is escaped already."""
    return f"*{text}*"


def items(lines: Iterable[str]) -> str:
    """Return a bulleted list; the lines are escaped already."""
    return "\n".join(f"- {line}" for line in lines)


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a pipe table (GitHub Flavored Markdown 4.10); the cells are escaped already."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def quoted(text: str, longest: int = 0) -> str:
    """Return the speaker's words in quotation marks, escaped; cut at a word after `longest`."""
    if longest and len(text) > longest:
        text = f"{text[:longest].rpartition(' ')[0].rstrip(' ,.;:—')}…"
    return f"“{escape(text).removesuffix('.')}”"
