"""From speech probabilities to spans of speech, and from spans to windows to recognise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..intake.decode import RATE
from .voice import FRAME

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]

# Silero's published operating point: speech starts above 0.5, and ends below 0.35.
_BEGIN = 0.5
_END = 0.35
_SHORTEST_PAUSE = 8  # frames (0.26 s): less is a stop within a word
_PAD_FRAMES = 7  # kept around speech (0.22 s): soft first and last sounds
PAD = _PAD_FRAMES * FRAME
_SHORTEST_SPEECH = 3  # frames (0.1 s)

# The recogniser's window is 30 s; a little room is left for rounding.
WINDOW = int(29.5 * RATE)
# A window that is full is cut at the longest pause within its last seconds.
_LOOK_BACK = 8 * RATE
# Short pauses stay as they are; in place of longer ones this much (seconds) joins two spans.
# Longer gaps and pads, fuller windows and a shorter encoder context all cost words.
GAP = 0.4
_KEPT_PAUSE = int(0.6 * RATE)


@dataclass(frozen=True, slots=True)
class Span:
    """Speech in one clip: `clip` is its index in the session, times are sample indexes."""

    clip: int
    start: int
    end: int

    def __len__(self) -> int:
        return self.end - self.start


def spans(probabilities: Floats, clip: int = 0) -> list[Span]:
    """Stretches of speech in time order, none longer than WINDOW and none overlapping."""
    found = _padded(_voiced(probabilities), len(probabilities))
    return [
        Span(clip, start * FRAME, end * FRAME)
        for long in found
        for start, end in _split(long, probabilities)
    ]


def windows(found: Sequence[Span]) -> list[tuple[Span, ...]]:
    """Spans packed, in order, into windows of at most WINDOW samples, gaps included.

    Several short notes share a window. Where a window is full it ends at the longest pause
    among its last seconds, so that a sentence is rarely cut.
    """
    packed: list[tuple[Span, ...]] = []
    current: list[Span] = []
    for span in found:
        while current and _length([*current, span]) > WINDOW:
            cut = _best_cut([*current, span])
            packed.append(tuple(_merged(current[:cut])))
            current = current[cut:]
        current.append(span)
    if current:
        packed.append(tuple(_merged(current)))
    return packed


def _voiced(probabilities: Floats) -> list[tuple[int, int]]:
    """Frames of speech, by hysteresis; pauses shorter than _SHORTEST_PAUSE are bridged."""
    found: list[tuple[int, int]] = []
    start, quiet = -1, 0
    for index, value in enumerate(probabilities.tolist()):
        if value >= _BEGIN:
            start = index if start < 0 else start
            quiet = 0
        elif start >= 0 and value < _END:
            quiet += 1
            if quiet >= _SHORTEST_PAUSE:
                found.append((start, index + 1 - quiet))
                start, quiet = -1, 0
        elif start >= 0 and quiet:
            quiet += 1
    if start >= 0:
        found.append((start, len(probabilities) - quiet))
    return [(first, last) for first, last in found if last - first >= _SHORTEST_SPEECH]


def _padded(found: Sequence[tuple[int, int]], count: int) -> list[tuple[int, int]]:
    """Each stretch with its pads; two that lie close share the pause between them."""
    padded = []
    for index, (start, end) in enumerate(found):
        before = found[index - 1][1] if index else 0
        after = found[index + 1][0] if index + 1 < len(found) else count
        first = max(start - _PAD_FRAMES, before + (start - before) // 2 if index else 0)
        last = min(end + _PAD_FRAMES, end + (after - end) // 2 if index + 1 < len(found) else count)
        padded.append((first, last))
    return padded


def _split(stretch: tuple[int, int], probabilities: Floats) -> list[tuple[int, int]]:
    """A stretch too long for one window, cut where speech is least likely."""
    longest, back = WINDOW // FRAME, _LOOK_BACK // FRAME
    start, end = stretch
    pieces = []
    while end - start > longest:
        first = start + longest - back
        cut = first + int(probabilities[first : start + longest].argmin())
        pieces.append((start, cut))
        start = cut
    pieces.append((start, end))
    return pieces


def _best_cut(found: Sequence[Span]) -> int:
    """How many of `found` (all but the last fit) to keep before the cut."""
    room = _length(found[:-1]) - _LOOK_BACK
    cuts = [cut for cut in range(1, len(found)) if _length(found[:cut]) >= room]
    return max(cuts, key=lambda cut: (_pause(found[cut - 1], found[cut]), cut))


def _pause(one: Span, two: Span) -> int:
    return two.start - one.end if one.clip == two.clip else WINDOW


def _merged(found: Sequence[Span]) -> list[Span]:
    """Spans with a short pause between them as one span, the pause left in."""
    merged = [found[0]]
    for span in found[1:]:
        last = merged[-1]
        if _pause(last, span) <= _KEPT_PAUSE:
            merged[-1] = Span(last.clip, last.start, span.end)
        else:
            merged.append(span)
    return merged


def _length(found: Sequence[Span]) -> int:
    merged = _merged(found)
    return sum(len(span) for span in merged) + (len(merged) - 1) * int(GAP * RATE)
