"""Landmarks: pairs of spectral peaks, which stay when level, codec and background change.

A. Wang, An Industrial-Strength Audio Search Algorithm, ISMIR 2003. A peak of the spectrogram is
paired with peaks that follow it; the two frequencies and the time between them make a number
that occurs rarely by chance. Where many such numbers of two sounds agree at one distance in
time, the sounds are the same there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .track import RATE, Track

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]
    Ints = NDArray[np.int64]

WINDOW = 512
HOP = 256
TICK = HOP // 2
"""Samples in a tick, the unit of time here: half a step of the spectrogram (16 ms)."""
LOWEST, HIGHEST = 12, 220
"""Bins of the spectrogram that are used: 190 to 3,440 Hz, the band of a telephone."""
FURTHEST = 32
"""Steps between the two peaks of a pair at most: about a second."""
WIDEST = 60
"""Bins between the two peaks of a pair at most: about 940 Hz."""

_BLOCK = 60 * RATE
_MARGIN = 64 * HOP
_AROUND_TIME, _AROUND_BINS = 3, 6
_CROWD = 16  # steps: in each such half second only so many peaks count
_SILENT = -70.0  # dB: below this there is nothing but rounding


@dataclass(frozen=True, slots=True)
class Density:
    """How many peaks are kept in half a second, and how many pairs begin at each."""

    peaks: int
    pairs: int


KEPT = Density(peaks=14, pairs=8)
ASKED = Density(peaks=26, pairs=24)
"""More is asked of the cut than is kept of the recording: music adds peaks of its own."""


def landmarks(track: Track, density: Density, shift: int = 0) -> Iterator[tuple[Ints, Ints]]:
    """Yield `(numbers, ticks)` of pairs, in time order, some minutes at once.

    `shift` in samples moves the spectrogram's grid.
    """
    import numpy as np

    held: list[Ints] = []
    for start in range(0, max(track.length, 1), _BLOCK):
        times, bins = _peaks(track, start, density, shift)
        held = [*held, np.stack([times, bins])]
        joined = np.concatenate(held, axis=1)
        last = start + _BLOCK >= track.length
        ready = joined.shape[1] if last else int(np.searchsorted(joined[0], _complete(start)))
        yield _pairs(joined, ready, density, shift)
        held = [joined[:, ready:]]


def _complete(start: int) -> int:
    """Return the first step whose partners may lie in the block after the one at `start`."""
    return (start + _BLOCK) // HOP - FURTHEST


def _peaks(track: Track, start: int, density: Density, shift: int) -> tuple[Ints, Ints]:
    """Return steps and bins of the peaks in one block, in time order."""
    import numpy as np

    first = start - _MARGIN
    levels = _spectrogram(track.read(first + shift, _BLOCK + 2 * _MARGIN))
    levels -= levels.mean(axis=0, keepdims=True)  # what is steady or coloured counts less
    around = _largest(_largest(levels, _AROUND_TIME, 0), _AROUND_BINS, 1)
    steps, bins = np.nonzero((levels == around) & (levels > 0))
    values = levels[steps, bins]
    steps = steps + first // HOP
    inside = (steps * HOP >= start) & (steps * HOP < min(start + _BLOCK, track.length))
    steps, bins, values = steps[inside], bins[inside], values[inside]
    crowd = steps // _CROWD
    order = np.lexsort((-values, crowd))
    ranked = crowd[order]
    rank = np.arange(len(order)) - np.searchsorted(ranked, ranked)
    chosen = np.sort(order[rank < density.peaks])
    return steps[chosen].astype(np.int64), bins[chosen].astype(np.int64)


def _spectrogram(samples: Floats) -> Floats:
    """Return levels in dB above silence, one row a step, the bins that are used."""
    import numpy as np

    frames = np.lib.stride_tricks.sliding_window_view(samples, WINDOW)[::HOP]
    window = np.hanning(WINDOW).astype(np.float32)
    spectrum = np.fft.rfft(frames * window, axis=1)[:, LOWEST:HIGHEST]
    power = (spectrum.real**2 + spectrum.imag**2) / (WINDOW / 4) ** 2
    levels: Floats = np.maximum(10 * np.log10(power + 1e-12) - _SILENT, 0).astype(np.float32)
    return levels


def _largest(levels: Floats, reach: int, axis: int) -> Floats:
    """Return the largest level within `reach` steps or bins to both sides."""
    import numpy as np

    found = levels.copy()
    ahead, behind = [slice(None)] * 2, [slice(None)] * 2
    for by in range(1, reach + 1):
        ahead[axis], behind[axis] = slice(by, None), slice(None, -by)
        one, other = tuple(ahead), tuple(behind)
        np.maximum(found[other], levels[one], out=found[other])
        np.maximum(found[one], levels[other], out=found[one])
    return found


def _pairs(peaks: Ints, anchors: int, density: Density, shift: int) -> tuple[Ints, Ints]:
    """Pair each of the first `anchors` peaks with the nearest that follow it."""
    import numpy as np

    times, bins = peaks
    count = np.zeros(anchors, np.int64)
    numbers, ticks = [], []
    for by in range(1, 2 * density.peaks * (FURTHEST // _CROWD + 1)):
        size = min(anchors, len(times) - by)
        if size <= 0:
            break
        apart = times[by : by + size] - times[:size]
        wide = bins[by : by + size] - bins[:size]
        taken = (apart > 0) & (apart <= FURTHEST) & (np.abs(wide) <= WIDEST)
        taken &= count[:size] < density.pairs
        count[:size] += taken
        at = np.nonzero(taken)[0]
        numbers.append(((bins[at] * 128) + wide[at] + WIDEST) * 64 + apart[at])
        ticks.append(times[at] * 2 + shift // TICK)
        if not (apart <= FURTHEST).any():
            break
    if not numbers:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    return np.concatenate(numbers), np.concatenate(ticks)
