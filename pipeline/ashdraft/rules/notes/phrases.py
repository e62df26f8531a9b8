"""Finds the cue phrases of cues/notes*.toml in a stream, across commas and cut lines."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from .. import data
from .stream import COMMA, Stream, plain_phrase

PREFIX = "notes."
ANY = "*"  # stands for any one word in a phrase
_OVER_COMMAS = ("repair", "sought", "own", "recall", "texture")  # "no, wait"; "yes, faintly"
_Entry = tuple[tuple[str, ...], tuple[str, ...]]


@cache
def _index() -> dict[str, tuple[tuple[str, ...], dict[str, tuple[_Entry, ...]]]]:
    """First word to the cues of that word alone, and second word to (phrase, cue ids)."""
    ids: dict[tuple[str, ...], list[str]] = {}
    for cue, phrases in data.cues().items():
        if cue.startswith(PREFIX):
            for phrase in phrases:
                ids.setdefault(plain_phrase(phrase), []).append(cue.removeprefix(PREFIX))
    alone: dict[str, tuple[str, ...]] = {}
    longer: dict[str, dict[str, list[_Entry]]] = {}
    for words, cues in ids.items():
        if len(words) == 1:
            alone[words[0]] = tuple(cues)
        else:
            by_second = longer.setdefault(words[0], {})
            by_second.setdefault(words[1], []).append((words, tuple(cues)))
    return {
        first: (
            alone.get(first, ()),
            {second: tuple(entries) for second, entries in longer.get(first, {}).items()},
        )
        for first in {*alone, *longer}
    }


class Marks:
    """Where each cue stands. Cue ids come without their "notes." prefix."""

    def __init__(self, stream: Stream) -> None:
        n = len(stream)
        self.starts: list[dict[str, int]] = [{} for _ in range(n)]
        self.covers: list[set[str]] = [set() for _ in range(n)]
        index = _index()
        low, gap = stream.low, stream.gap
        for i, word in enumerate(low):
            if word not in index:
                continue
            alone, longer = index[word]
            for cue in alone:
                self._add(i, i + 1, cue)
            if longer and i + 1 < n and gap[i + 1] <= COMMA:
                for words, cues in (*longer.get(low[i + 1], ()), *longer.get(ANY, ())):
                    paused = _pauses(low, gap, i, words)
                    for cue in cues if paused is not None else ():
                        if not paused or cue.startswith(_OVER_COMMAS):
                            self._add(i, i + len(words), cue)

    def _add(self, i: int, end: int, cue: str) -> None:
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


def _pauses(low: Sequence[str], gap: Sequence[int], i: int, words: Sequence[str]) -> bool | None:
    """Whether the phrase that stands at word `i` has a comma inside; None where it is not there."""
    end = i + len(words)
    if end > len(low) or any(w not in (ANY, low[i + k]) for k, w in enumerate(words)):
        return None
    widest = max(gap[i + 1 : end])
    return None if widest > COMMA else widest == COMMA
