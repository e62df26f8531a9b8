"""Which parts of the cut may come from where: landmarks that agree at one distance in time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .landmarks import ASKED, KEPT, TICK, landmarks
from .track import RATE, Track

if TYPE_CHECKING:
    from .landmarks import Ints

SECOND = RATE // TICK
"""Ticks that make one cell of the count, about a second."""
_WIDTH = 4
"""Ticks of distance that are counted together, 64 ms: pairs are a tick or two out."""
_ENOUGH = 7
"""Agreeing pairs in a cell. Chance gives a fraction of one, the same sound some dozens."""
_GAP = 3
"""Cells without agreement that a stretch runs across."""
_SHIFTS = (0, TICK)
_SPREAD = 1 << 24


@dataclass(frozen=True, slots=True)
class Likely:
    """A stretch of the cut that agrees with a recording.

    `start` and `end` in seconds of the cut; `recording` is its index; `distance` is the
    recording's seconds less the cut's, to a tenth of a second.
    """

    start: float
    end: float
    recording: int
    distance: float
    score: int

    @property
    def density(self) -> float:
        """Agreeing pairs a second."""
        return self.score / (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Index:
    """The landmarks of one recording, sorted by number."""

    numbers: Ints
    ticks: Ints


def index(track: Track) -> Index:
    """Return the landmarks of a recording; 16 bytes each, some 200 a second of speech."""
    import numpy as np

    found = list(landmarks(track, KEPT))
    numbers = np.concatenate([n for n, _ in found])
    ticks = np.concatenate([t for _, t in found])
    order = np.argsort(numbers, kind="stable")
    return Index(numbers[order], ticks[order])


def likely(cut: Track, indexes: Sequence[Index]) -> list[Likely]:
    """Return stretches of the cut that agree with one of the recordings, best first."""
    import numpy as np

    cells: list[list[tuple[int, int, int]]] = [[] for _ in indexes]
    for pieces in zip(*(landmarks(cut, ASKED, shift) for shift in _SHIFTS), strict=True):
        numbers = np.concatenate([n for n, _ in pieces])
        ticks = np.concatenate([t for _, t in pieces])
        for at, one in enumerate(indexes):
            cells[at] += _cells(one, numbers, ticks)
    found = [stretch for at, rows in enumerate(cells) for stretch in _stretches(sorted(rows), at)]
    return sorted(found, key=lambda one: -one.score)


def _cells(kept: Index, numbers: Ints, ticks: Ints) -> list[tuple[int, int, int]]:
    """Return `(second of the cut, distance in widths, agreeing pairs)` where there are enough."""
    import numpy as np

    first = np.searchsorted(kept.numbers, numbers, "left")
    count = np.searchsorted(kept.numbers, numbers, "right") - first
    asked = np.repeat(ticks, count)
    at = np.repeat(first - np.concatenate([[0], np.cumsum(count)[:-1]]), count)
    distance = (kept.ticks[at + np.arange(len(asked))] - asked) // _WIDTH
    keys, counts = np.unique(distance * _SPREAD + asked // SECOND, return_counts=True)
    place = np.searchsorted(keys, keys + _SPREAD)
    place[place == len(keys)] = 0
    beside = np.where(keys[place] == keys + _SPREAD, counts[place], 0) if len(keys) else counts
    good = np.nonzero(counts + beside >= _ENOUGH)[0]
    seconds, widths = keys[good] % _SPREAD, keys[good] // _SPREAD
    return list(
        zip(seconds.tolist(), widths.tolist(), (counts + beside)[good].tolist(), strict=True)
    )


def _stretches(cells: Iterable[tuple[int, int, int]], recording: int) -> list[Likely]:
    """Join cells of one distance that follow one another."""
    open_: list[list[int]] = []  # first second, last second, width, score, best count
    done: list[list[int]] = []
    for second, width, count in cells:
        done += [row for row in open_ if second - row[1] > _GAP]
        open_ = [row for row in open_ if second - row[1] <= _GAP]
        row = next((row for row in open_ if abs(row[2] - width) <= 1), None)
        if row is None:
            open_.append([second, second, width, count, count])
            continue
        row[1] = second
        row[3] += count
        if count > row[4]:
            row[2], row[4] = width, count
    return [
        Likely(
            first * SECOND * TICK / RATE,
            (last + 1) * SECOND * TICK / RATE,
            recording,
            (width + 1) * _WIDTH * TICK / RATE,
            score,
        )
        for first, last, width, score, _ in done + open_
    ]
