"""Finds the cue phrases of cues/notes*.toml in a stream, across commas and cut lines."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from .. import data
from .stream import COMMA, Stream, plain_phrase

PREFIX = "notes."
_Entry = tuple[tuple[str, ...], tuple[str, ...]]


@cache
def _index() -> dict[str, tuple[_Entry, ...]]:
    """First word to (phrase, cue ids), longest phrases first. `*` stands for any one word."""
    ids: dict[tuple[str, ...], list[str]] = {}
    for cue, phrases in data.cues().items():
        if cue.startswith(PREFIX):
            for phrase in phrases:
                ids.setdefault(plain_phrase(phrase), []).append(cue.removeprefix(PREFIX))
    index: dict[str, list[_Entry]] = {}
    for words, cues in ids.items():
        index.setdefault(words[0], []).append((words, tuple(cues)))
    return {
        first: tuple(sorted(entries, key=lambda e: -len(e[0]))) for first, entries in index.items()
    }


class Marks:
    """Where each cue stands. Cue ids come without their "notes." prefix."""

    def __init__(self, stream: Stream) -> None:
        n = len(stream)
        self.starts: list[dict[str, int]] = [{} for _ in range(n)]
        self.covers: list[set[str]] = [set() for _ in range(n)]
        index = _index()
        for i, word in enumerate(stream.low):
            for words, cues in index.get(word, ()):
                end = _match(stream, i, words)
                if not end:
                    continue
                for cue in cues:
                    if self.starts[i].get(cue, 0) < end:
                        self.starts[i][cue] = end
                        for k in range(i, end):
                            self.covers[k].add(cue)

    def end(self, i: int, cue: str) -> int:
        """The end of the longest phrase of `cue` that starts at word `i`, or 0."""
        return self.starts[i].get(cue, 0) if 0 <= i < len(self.starts) else 0

    def at(self, i: int, *cues: str) -> bool:
        """Whether word `i` is part of a phrase of one of the cues."""
        return 0 <= i < len(self.covers) and not self.covers[i].isdisjoint(cues)

    def within(self, first: int, end: int, cue: str) -> bool:
        """Whether a phrase of the cue starts in words `first` up to `end`."""
        return any(cue in self.starts[i] for i in range(max(0, first), min(end, len(self.starts))))


def _match(stream: Stream, i: int, words: Iterable[str]) -> int:
    """Where a phrase that starts at word `i` ends, or 0. A comma may stand inside, a stop not."""
    k = i
    for word in words:
        if k >= len(stream) or (word != "*" and stream.low[k] != word):
            return 0
        if k > i and stream.gap[k] > COMMA:
            return 0
        k += 1
    return k
