"""What every chapter file is made from: starts in whole milliseconds, and titles."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True)
class Entry:
    """One chapter: `start` in milliseconds; `title` is one line, never empty."""

    start: int
    title: str


@dataclass(frozen=True, slots=True)
class Span:
    """An entry with its end, exclusive, in milliseconds: where the next one begins."""

    start: int
    end: int
    title: str


@dataclass(frozen=True, slots=True)
class Listing:
    """Chapters on the video's own time, ascending, and the video's `length` in milliseconds."""

    entries: tuple[Entry, ...]
    length: int

    def spans(self) -> tuple[Span, ...]:
        """Return the entries with their ends; the last one lasts to the end of the video."""
        if not self.entries:
            return ()
        last = self.entries[-1]
        found = [Span(a.start, b.start, a.title) for a, b in pairwise(self.entries)]
        return (*found, Span(last.start, max(self.length, last.start + 1), last.title))


def clean(title: str) -> str:
    """Return a title on one line: control characters and runs of blanks become one blank."""
    shown = "".join(c if c.isprintable() or _shapes(c) else " " for c in title)
    return " ".join(shown.split()) or "Untitled"


def ascending(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """Return the entries by start; of several at one moment the last one given."""
    by_start = {entry.start: entry for entry in entries}
    return tuple(by_start[start] for start in sorted(by_start))


def _shapes(character: str) -> bool:
    """True for the joiners that emoji and some scripts are spelt with (Unicode 23.2)."""
    return character in "\N{ZERO WIDTH JOINER}\N{ZERO WIDTH NON-JOINER}"
