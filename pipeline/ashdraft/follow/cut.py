"""A finished video followed back to the recordings it was cut from."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

from ..errors import UsageError
from ..export.sources import Source
from ..intake.digest import sha256_of
from ..intake.names import shown
from ..model import Recording
from ..progress import Progress, Silent
from .index import Index, index, likely
from .passages import Passage, passages
from .track import Track, listen

SHORTEST_UNKNOWN = 0.5
"""Seconds; a shorter piece between two passages is the joint itself."""
TOLERANCE = 0.15
"""Seconds by which a passage may be longer than its sound can show, at both ends."""


@dataclass(frozen=True, slots=True)
class Span:
    """Seconds from and to."""

    start: float
    end: float

    @property
    def length(self) -> float:
        """Seconds."""
        return self.end - self.start


@dataclass(frozen=True, slots=True)
class Unknown(Span):
    """Seconds of the video that match nothing; `pause`: it may be music over a long pause."""

    pause: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """`video` and its passages; their `distance` leads onto the joined timeline of the notes.

    A second of the cut plus `distance` is the second of the timeline. `unknown` are the spans
    of the video, in its own time, whose sound is in none of the recordings.
    """

    video: Recording
    passages: tuple[Passage, ...]
    unknown: tuple[Unknown, ...]

    def passage_of(self, second: float) -> Passage | None:
        """Return the first passage that holds a second of the timeline, None if none does."""
        return next((p for p in self.passages if holds(p, second)), None)


def holds(passage: Passage, second: float) -> bool:
    """Return whether a second of the timeline is heard in a passage."""
    first, last = passage.start + passage.distance, passage.end + passage.distance
    return first - TOLERANCE <= second <= last + TOLERANCE


def follow(found: Sequence[Source], video: Path, progress: Progress | None = None) -> Cut:
    """Match the sound of `video` with the recordings it was made from.

    Level, codec, sample rate, order, repetition and music underneath may differ; the speed may
    not. Sound is kept on disk while this works, 58 MB an hour; memory holds the landmarks, some
    15 MB an hour. Raises what decoding raises, and `UsageError` where nothing matches.
    """
    progress = progress or Silent()
    progress.start("Comparing sound", len(found) + 2, "steps")
    with ExitStack() as opened, ThreadPoolExecutor(2) as pool:

        def heard(path: Path) -> Track:
            track = listen(path)
            opened.callback(track.close)
            progress.advance(1)
            return track

        def prepared(path: Path) -> tuple[Track, Index]:
            track = heard(path)
            return track, index(track)

        later = pool.submit(heard, video)
        ready = list(pool.map(prepared, [source.path for source in found]))
        cut = later.result()
        tracks = [track for track, _ in ready]
        matched = passages(cut, tracks, likely(cut, [landmarks for _, landmarks in ready]))
        duration = cut.duration
        progress.advance(1)
    if not matched:
        names = ", ".join(source.path.name for source in found)
        raise UsageError(
            f"Nothing of the sound of {shown(video)} is in {names}.",
            "Name the recordings it was cut from: --recording FILE",
        )
    offsets = [source.recording.offset for source in found]
    return Cut(
        Recording(shown(video), sha256_of(video), 0.0, round(duration, 3)),
        tuple(replace(p, distance=p.distance + offsets[p.recording]) for p in matched),
        tuple(_unknown(matched, duration)),
    )


def _unknown(matched: Sequence[Passage], duration: float) -> list[Unknown]:
    found = []
    for one, other in pairwise([None, *matched, None]):
        start = one.end if one else 0.0
        end = other.start if other else duration
        silent = (one.after if one else 0.0) + (other.before if other else 0.0)
        if end - start >= SHORTEST_UNKNOWN:
            found.append(Unknown(start, end, silent > end - start - SHORTEST_UNKNOWN))
    return found
