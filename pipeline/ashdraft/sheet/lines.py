"""Finds the line of an entry in a sheet file, so that a mistake can be named by it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

_HEADER = re.compile(r"\s*\[\[?\s*([\w.\- \"']+?)\s*\]\]?\s*(?:#.*)?$")
_LONG_TEXT = re.compile(r'"""[\s\S]*?"""' + r"|'''[\s\S]*?'''")
_WITHIN = {"scale": ("scale.anchors",), "scale.anchors": ()}


@dataclass(frozen=True, slots=True)
class Place:
    """A table of a sheet file: `scale`, `section` 0, `section` 0 `row` 2, `question` 1."""

    table: str = ""
    at: tuple[int, ...] = ()


class Lines:
    """The lines of one file; numbers count from 1."""

    def __init__(self, text: str) -> None:
        kept = _LONG_TEXT.sub(lambda match: "\n" * match[0].count("\n"), text)
        self.lines = kept.split("\n")

    def line(self, place: Place, key: str = "") -> int:
        """The line of a key in its table, of the table where the key is missing."""
        first, stop = self._block(place)
        if first is None:
            return self._mention(place.table.split(".")[0])
        for n in range(first, stop):
            if key and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*[=.]", self.lines[n]):
                return n + 1
        return first + 1 if place.table or not key else self._mention(key)

    def _block(self, place: Place) -> tuple[int | None, int]:
        """First line and line after the last of a table, counting lines from 0."""
        found: int | None = None if place.table else 0
        counts = {"section": -1, "section.row": -1, "question": -1}
        for n, line in enumerate(self.lines):
            header = _HEADER.match(line)
            if not header:
                continue
            name = re.sub(r"[ \"']", "", header[1])
            if found is not None and name not in _WITHIN.get(place.table, ()):
                return found, n
            if name == "section":
                counts["section.row"] = -1
            if name in counts:
                counts[name] += 1
            here = {
                "section": (counts["section"],),
                "section.row": (counts["section"], counts["section.row"]),
                "question": (counts["question"],),
            }.get(name, ())
            if name == place.table and here == place.at:
                found = n
        return found, len(self.lines)

    def _mention(self, word: str) -> int:
        """The line of a table written in braces, else the first."""
        pattern = re.compile(rf"\s*\[*\s*{re.escape(word)}\b")
        return next((n for n, line in enumerate(self.lines, 1) if pattern.match(line)), 1)


def entry(place: Place, raw: Mapping[str, Any]) -> str:
    """The name of a table as its author knows it: a row's id, else its kind."""
    if place.table not in ("section", "section.row"):
        return " ".join([place.table, *(str(n + 1) for n in place.at)]).strip()
    name, table = place.table, raw.get("section", [])
    for n in place.at:
        try:
            name = table[n].get("id", place.table)
            table = table[n].get("row", [])
        except (AttributeError, IndexError, KeyError, TypeError):
            return place.table
    return str(name)
