"""Cues from timed words: where each begins and how long it stays.

Limits and their sources stand in `wrap`. Where people speak faster than they can be read, or
over each other, the shortest time gives way first, then the reading speed; order and the
two lines never do.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..export.clock import milliseconds
from ..model import Said
from . import wrap
from .timed import Timed, timed

SHORTEST_MS = milliseconds(wrap.SHORTEST)
LONGEST_MS = milliseconds(wrap.LONGEST)
GAP_MS = milliseconds(wrap.GAP)
LAG_MS = milliseconds(wrap.LAG)
CLOSED_MS = 460
"""A gap of up to 11 frames at 24 a second is closed to the shortest one, so that captions do
not flicker (Netflix, Timed Text Style Guide; from memory)."""
LEAST_MS = 200
"""Two cues never begin closer together than this, however crowded it gets (no source)."""
APART = 1.0
"""Utterances this far apart (seconds) never share a cue (no source)."""


@dataclass(frozen=True, slots=True)
class Cue:
    """One caption: whole milliseconds, end > start, one or two lines of unescaped text."""

    start: int
    end: int
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Spoken:
    """A cue before its time on screen: speech in ms, and its text."""

    start: int
    end: int
    lines: tuple[str, ...]

    @property
    def wanted(self) -> int:
        """Milliseconds it should stay: as long as it is spoken, and can be read."""
        characters = sum(map(len, self.lines)) + len(self.lines) - 1
        readable = -(-characters * 1000 // int(wrap.RATE))
        return min(max(self.end - self.start, readable, SHORTEST_MS), LONGEST_MS)


def cues(utterances: Sequence[Said], *, verbatim: bool = False) -> tuple[Cue, ...]:
    """Return captions in time order that never overlap; utterances without text give none.

    They show the tidied `text`, or with `verbatim` every word that was said (`said`).
    """
    spoken = [
        _Spoken(
            milliseconds(words[first].start),
            milliseconds(words[behind - 1].end),
            wrap.lines(words[first:behind]),
        )
        for words, next_start in _blocks(utterances, verbatim)
        for first, behind in wrap.runs(words, next_start)
    ]
    return tuple(_placed(sorted(spoken, key=lambda c: (c.start, c.end))))


def _blocks(utterances: Sequence[Said], verbatim: bool) -> Iterator[tuple[Sequence[Timed], float]]:
    """Yield words that may share cues, and when those after them begin.

    Speech that overlaps is not mixed; each such utterance is a block of its own.
    """
    block: list[Timed] = []
    for utterance in sorted(utterances, key=lambda u: (u.start, u.end)):
        words = timed(utterance.said if verbatim else utterance.text, utterance)
        if not words:
            continue
        if block and not block[-1].end <= words[0].start < block[-1].end + APART:
            yield block, max(words[0].start, block[-1].end)
            block = []
        block += words
    if block:
        yield block, float("inf")


def _placed(spoken: Sequence[_Spoken]) -> Iterable[Cue]:
    """Give each its time: a cue waits a little for the one before, then stays as it can."""
    starts: list[int] = []
    for cue in spoken:
        start = cue.start
        if starts:
            polite = min(starts[-1] + SHORTEST_MS + GAP_MS, cue.start + LAG_MS)
            start = max(start, polite, starts[-1] + LEAST_MS)
        starts.append(start)
    for at, (cue, start) in enumerate(zip(spoken, starts, strict=True)):
        end = max(cue.end, min(start + cue.wanted, cue.end + LAG_MS), start + SHORTEST_MS)
        end = min(end, start + LONGEST_MS)
        if at + 1 < len(starts) and starts[at + 1] - end < CLOSED_MS:
            end = min(starts[at + 1] - GAP_MS, start + LONGEST_MS)
        yield Cue(start, end, cue.lines)
