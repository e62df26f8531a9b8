"""Single remarks with the notes expected in them, as tests and lessons write them.

A block starts with `## ` and a title. Each utterance is a line; `[section third]` before it
places it, without it `[palate 1]` is meant. `=> + term` is a note present, `=> - term` one
absent, `=> nothing` none; after the term may come its source and its strength, divided by
commas, where they are not the palate and plain. With several utterances before the notes, `2:`
names the one meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast

from ashdraft.model import Section

SOURCES = frozenset({"wrapper", "foot", "cold-draw", "palate", "retrohale", "finish", "room"})
STRENGTHS = frozenset({"faint", "plain", "strong"})


@dataclass(frozen=True, slots=True)
class Wanted:
    """A note expected in utterance `at` (counted from 0 within its remark)."""

    at: int
    term: str
    polarity: str
    source: str
    strength: str


@dataclass(slots=True)
class Remark:
    """Utterances that belong together, each (section, third, text), and the notes in them."""

    title: str
    said: list[tuple[Section, int | None, str]] = field(default_factory=list)
    wanted: list[Wanted] = field(default_factory=list)
    told: bool = False


def read_remarks(path: Path) -> Iterator[Remark]:
    """The remarks of a file; a title may stand over several, each ended by its notes.

    Raises ValueError, naming the title, where a line cannot be read or a remark has no notes.
    """
    for block in path.read_text(encoding="utf-8").split("\n## ")[1:]:
        title, *lines = [line for line in block.splitlines() if line.strip()]
        remark = Remark(title)
        for line in lines:
            if not line.startswith("=>") and remark.told:
                yield remark
                remark = Remark(title)
            if line.startswith("=>"):
                remark.told = True
                if line != "=> nothing":
                    remark.wanted.append(_wanted(line, title))
            else:
                remark.said.append(_utterance(line))
        if not remark.told or not remark.said:
            raise ValueError(f"{path.name}: {title!r} has no utterance or no line after =>")
        yield remark


def _utterance(line: str) -> tuple[Section, int | None, str]:
    placed = re.match(r"\[([a-z-]+)(?: ([123]))?\] ", line)
    if not placed:
        return "palate", 1, line
    third = int(placed[2]) if placed[2] else None
    return cast(Section, placed[1]), third, line[placed.end() :]


def _wanted(line: str, title: str) -> Wanted:
    parts = re.fullmatch(r"=> (?:(\d+): )?([+-]) ([^,]+)(?:, (.+))?", line)
    more = set(parts[4].split(", ")) if parts and parts[4] else set()
    if not parts or not more <= SOURCES | STRENGTHS:
        raise ValueError(f"{title!r}: cannot read {line!r}")
    return Wanted(
        int(parts[1] or 1) - 1,
        parts[3],
        "present" if parts[2] == "+" else "absent",
        next(iter(more & SOURCES), "palate"),
        next(iter(more & STRENGTHS), "plain"),
    )
