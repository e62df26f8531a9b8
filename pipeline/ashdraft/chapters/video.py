"""From the recordings' time onto the video's: what is not in the video takes no time there."""

from __future__ import annotations

from collections.abc import Sequence

from ..export.clock import milliseconds
from ..model import Recording
from .entry import Entry, Listing, ascending

OPENING = "Opening"
"""Stands before the first chapter where the video begins with something else."""
SHORTEST_OPENING = 10_000


def closed(entries: Sequence[Entry], recordings: Sequence[Recording]) -> tuple[Entry, ...]:
    """Take the time between recordings out: one clip follows the other, as in a video of them."""
    gaps = _gaps(recordings)

    def moved(start: int) -> int:
        return start - sum(min(start, end) - begin for begin, end in gaps if begin < start)

    return ascending(Entry(moved(e.start), e.title) for e in entries)


def gap_time(recordings: Sequence[Recording]) -> int:
    """Return how many milliseconds of the joined timeline were not recorded."""
    return sum(end - begin for begin, end in _gaps(recordings))


def on_video(entries: Sequence[Entry], shift: int, length: int) -> Listing:
    """Return the chapters of a video of `length` ms in which the recording begins at `shift` ms.

    A negative `shift` is a video that begins later than the recording. What ends before the
    video or begins after it is left out; what runs when the video begins, begins with it. The
    first chapter begins at 0, or `OPENING` does where something longer comes before it.
    """
    if length <= 0:
        return Listing((), 0)
    moved = [Entry(e.start + shift, e.title) for e in ascending(entries)]
    before = [e for e in moved if e.start <= 0]
    inside = [e for e in moved if 0 < e.start < length]
    if before:
        inside.insert(0, Entry(0, before[-1].title))
    elif inside and inside[0].start >= SHORTEST_OPENING:
        inside.insert(0, Entry(0, OPENING))
    elif inside:
        inside[0] = Entry(0, inside[0].title)
    return Listing(tuple(inside), length)


def _gaps(recordings: Sequence[Recording]) -> list[tuple[int, int]]:
    """Return the stretches of the joined timeline in which nothing was recorded."""
    gaps, end = [], 0
    for recording in sorted(recordings, key=lambda r: r.offset):
        start = milliseconds(recording.offset)
        if start > end:
            gaps.append((end, start))
        end = max(end, milliseconds(recording.offset + recording.duration))
    return gaps
