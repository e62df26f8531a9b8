"""Blocks: a few windows recognised together, the unit that is stored and never done twice."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..intake import Clip
from ..intake.decode import RATE, decode
from ..intake.level import join
from ..model import Word
from .recogniser import Window
from .spans import GAP, Span
from .utterances import glued

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

_WINDOWS = 4
# Fewer windows in a block where there are few of them, so that two workers share them evenly.
_BLOCKS_AT_LEAST = 4


@dataclass(frozen=True, slots=True)
class Block:
    """Windows to recognise together, each one or more spans of speech."""

    windows: tuple[tuple[Span, ...], ...]

    @property
    def seconds(self) -> float:
        """Seconds of speech."""
        return sum(len(span) for window in self.windows for span in window) / RATE

    def made_from(self, clips: Sequence[Clip]) -> list[list[list[str | int]]]:
        """The sound it is made of, independent of file names and places on the timeline."""
        return [
            [[clips[span.clip].recording.sha256, span.start, span.end] for span in window]
            for window in self.windows
        ]


def blocks(windows: Sequence[tuple[Span, ...]]) -> list[Block]:
    """Windows in order, a few to a block."""
    size = max(1, min(_WINDOWS, -(-len(windows) // _BLOCKS_AT_LEAST)))
    return [Block(tuple(windows[at : at + size])) for at in range(0, len(windows), size)]


def sounds(clips: Sequence[Clip], wanted: Sequence[Block]) -> Iterator[list[Samples]]:
    """The levelled sound of every window, block by block; each clip is decoded once, in order."""
    spoken = _spoken(
        clips, [span for block in wanted for window in block.windows for span in window]
    )
    for block in wanted:
        yield [join([next(spoken) for _ in window], GAP) for window in block.windows]


def placed(window: Window, found: tuple[Span, ...]) -> Iterator[tuple[int, Word]]:
    """Each word of `window` as (clip, word), in seconds from that clip's own start.

    A word belongs to the span in which its middle lies, and stays inside it.
    """
    starts = _starts(found)
    for word in glued(window.words):
        index = max(bisect_right(starts, (word.start + word.end) / 2) - 1, 0)
        span = found[index]
        start, end = (
            round(span.start / RATE + min(max(at - starts[index], 0.0), len(span) / RATE), 3)
            for at in (word.start, word.end)
        )
        yield span.clip, Word(word.text, start, end, word.probability)


def _starts(found: Sequence[Span]) -> list[float]:
    """Where in the window each span starts, in seconds (as `level.join` lays them out)."""
    starts, at = [], 0.0
    for span in found:
        starts.append(at)
        at += len(span) / RATE + GAP
    return starts


def _spoken(clips: Sequence[Clip], found: Sequence[Span]) -> Iterator[Samples]:
    """The samples of each span, in the order given: by clip, then by time."""
    import numpy as np

    for index, clip in enumerate(clips):
        mine = [span for span in found if span.clip == index]
        if not mine:
            continue
        stretches = decode(clip.path, spans=[(span.start, span.end) for span in mine])
        waiting = next(stretches, None)
        for span in mine:
            sound = np.zeros(len(span), dtype=np.float32)
            while waiting is not None and waiting.start < span.end:
                first, last = max(span.start, waiting.start), min(span.end, waiting.end)
                if first < last:
                    piece = waiting.samples[first - waiting.start : last - waiting.start]
                    sound[first - span.start : last - span.start] = piece
                if waiting.end > span.end:
                    break
                waiting = next(stretches, None)
            yield sound
        for _ in stretches:  # to the end: only then is it sure that the file did not change
            pass


def as_content(found: Sequence[Window]) -> list[dict[str, Any]]:
    """Recognised windows as JSON content for the store."""
    return [
        {
            "words": [
                [word.text, round(word.start, 3), round(word.end, 3), round(word.probability, 4)]
                for word in window.words
            ],
            "log_probability": round(window.log_probability, 4),
            "dropped": window.dropped,
        }
        for window in found
    ]


def from_content(content: Sequence[Mapping[str, Any]]) -> list[Window]:
    """The inverse of `as_content`."""
    return [
        Window(
            tuple(Word(*word) for word in window["words"]),
            window["log_probability"],
            window["dropped"],
        )
        for window in content
    ]
