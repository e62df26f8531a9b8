"""Blocks: a few windows recognised together, the unit that is stored and never done twice."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..intake import Clip
from ..intake.decode import RATE, decode
from ..intake.level import join
from ..intake.stamp import unchanged
from ..model import Word
from .recogniser import Recogniser, Window
from .spans import GAP, PAD, Span
from .utterances import glued

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

_WINDOWS = 2
# Fewer windows in a block where there are few of them, so that two workers share them evenly.
_BLOCKS_AT_LEAST = 4
# A second of speech has a word in it.
_SURELY_WORDS = RATE


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


def into_blocks(windows: Sequence[tuple[Span, ...]]) -> list[Block]:
    """Windows in order, a few to a block."""
    size = max(1, min(_WINDOWS, -(-len(windows) // _BLOCKS_AT_LEAST)))
    return [Block(tuple(windows[at : at + size])) for at in range(0, len(windows), size)]


def sounds(clips: Sequence[Clip], wanted: Sequence[Block]) -> Iterator[list[list[Samples]]]:
    """For each block, for each window, the sound of its spans; clips are decoded once, in order."""
    every = [span for block in wanted for window in block.windows for span in window]
    spoken = _spoken(clips, every)
    for block in wanted:
        yield [[next(spoken) for _ in window] for window in block.windows]


def joined(pieces: Sequence[Samples]) -> Samples:
    """One window's spans, levelled and packed as the recogniser gets them."""
    return join(pieces, GAP)


def recognise(
    recogniser: Recogniser, block: Block, pieces: Sequence[Sequence[Samples]], language: str
) -> list[Window]:
    """The words of each window of `block`.

    Where a packed window leaves a span that is speech without a word, its spans are recognised
    again one by one, so that packing never costs a note.
    """
    together = recogniser.recognise([joined(window) for window in pieces], language)
    for index, (window, found) in enumerate(zip(together, block.windows, strict=True)):
        if len(found) > 1 and _leaves_one_out(window, found):
            alone = recogniser.recognise([joined([piece]) for piece in pieces[index]], language)
            together[index] = _side_by_side(alone, found)
    return together


def placed(window: Window, found: tuple[Span, ...]) -> Iterator[tuple[int, Word]]:
    """Each word of `window` as (clip, word), in seconds from that clip's own start.

    A word belongs to the span whose speech it covers most of, and stays inside that span: the
    recogniser stretches words over the pauses between spans.
    """
    starts = _starts(found)
    for word, index in _shared_out(window, found):
        span = found[index]
        start, end = (
            round(span.start / RATE + min(max(at - starts[index], 0.0), len(span) / RATE), 3)
            for at in (word.start, word.end)
        )
        yield span.clip, Word(word.text, start, end, word.probability)


def _shared_out(window: Window, found: tuple[Span, ...]) -> Iterator[tuple[Word, int]]:
    """Each word with the index of its span; words stay in order."""
    speech = [
        (
            start + min(PAD, len(span) / 4) / RATE,
            start + (len(span) - min(PAD, len(span) / 4)) / RATE,
        )
        for start, span in zip(_starts(found), found, strict=True)
    ]
    index = 0
    for word in glued(window.words):
        # Overlap where there is any, else (as a negative number) the distance.
        near = [min(word.end, end) - max(word.start, start) for start, end in speech]
        index = max(range(index, len(found)), key=lambda at: near[at])
        yield word, index


def _leaves_one_out(window: Window, found: tuple[Span, ...]) -> bool:
    spoken = {index for _, index in _shared_out(window, found)}
    return any(
        index not in spoken and len(span) - 2 * PAD >= _SURELY_WORDS
        for index, span in enumerate(found)
    )


def _side_by_side(alone: Sequence[Window], found: Sequence[Span]) -> Window:
    words = [
        Word(word.text, word.start + start, word.end + start, word.probability)
        for window, start in zip(alone, _starts(found), strict=True)
        for word in window.words
    ]
    weakest = min(window.log_probability for window in alone)
    return Window(tuple(words), weakest, dropped=not words)


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
            if clip.stamp is not None:  # what another file holds is never stored as this one's
                unchanged(clip.path, clip.stamp)
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
