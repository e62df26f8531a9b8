"""Where the thirds of a cigar lie on the timeline, and where nothing was recorded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..export.clock import chapter_time
from ..model import Reading, Recording
from .families import THIRDS

UNHEARD = 1.0
"""Seconds between two recordings from which on they are drawn apart."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the timeline; `known` is False where its beginning was not said."""

    words: str
    start: float
    end: float
    known: bool = True

    def told(self) -> str:
        """Return the span in words."""
        inferred = "" if self.known else ", inferred"
        start, end = chapter_time(int(self.start)), chapter_time(int(self.end))
        return f"{self.words} {start} to {end}{inferred}"


def thirds(reading: Reading, seconds: float) -> list[Span]:
    """Return the thirds in a recording of `seconds`.

    In a session recorded live they are stretches of smoking: each begins where somebody said so,
    or else (not `known`) with the first sentence that describes it. In a narration they are the
    stretches of speech about each, which may come in any order and more than once.
    """
    return _smoked(reading, seconds) if reading.kind == "live" else _told(reading)


def gaps(recordings: Sequence[Recording]) -> list[Span]:
    """Return the stretches between recordings."""
    found = []
    end = 0.0
    for recording in sorted(recordings, key=lambda r: r.offset):
        if recording.offset - end >= UNHEARD:
            found.append(Span("not recorded", end, recording.offset))
        end = max(end, recording.offset + recording.duration)
    return found


def _smoked(reading: Reading, seconds: float) -> list[Span]:
    timing = reading.timing
    said = (timing.lit, timing.second_third, timing.final_third)
    begins: list[tuple[int, float, bool]] = []
    for third, start in enumerate(said, start=1):
        first = next((u.start for u in reading.utterances if u.third == third), None)
        at = start if start is not None else first
        if at is not None and (not begins or at >= begins[-1][1]):
            begins.append((third, at, start is not None))
    if not begins:
        return []
    last = timing.put_down if timing.put_down is not None else seconds
    ends = [start for _, start, _ in begins[1:]] + [last]
    return [
        Span(THIRDS[third - 1], start, max(start, end), known)
        for (third, start, known), end in zip(begins, ends, strict=True)
    ]


def _told(reading: Reading) -> list[Span]:
    found: list[Span] = []
    for utterance in reading.utterances:
        if utterance.third is None:
            continue
        words = THIRDS[utterance.third - 1]
        if found and found[-1].words == words:
            found[-1] = Span(words, found[-1].start, utterance.end)
        else:
            found.append(Span(words, utterance.start, utterance.end))
    return found
