"""Two sounds laid over one another to the sample, and how alike they are at every moment.

The distance in time comes from the generalised cross-correlation with phase transform (C. Knapp,
G. Carter, The Generalized Correlation Method for Estimation of Time Delay, IEEE Transactions on
Acoustics, Speech and Signal Processing 24, 1976): every frequency has one vote, so that loud
music in a few of them does not decide. Likeness is the normalised cross-correlation of short
windows (J. Lewis, Fast Normalized Cross-Correlation, 1995), which does not depend on level.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .track import RATE, Track

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]

STEP = RATE // 50
"""Samples from one value of likeness to the next: 20 ms."""
WINDOW = 1_200
"""Samples over which likeness is measured, 150 ms: a syllable."""
REACH = RATE // 4
"""Samples by which a distance may be out before it is refined."""
PART = 60 * RATE
_PIECE = 2 * RATE
_BAND = (200.0, 3_400.0)
_EMPHASIS = 0.95


def distance(cut: Track, recording: Track, start: int, end: int, about: int) -> tuple[int, float]:
    """Return the samples that `recording` lies ahead of `cut`, some `about`, and how well it fits.

    Pieces of 2 s between `start` and `end` (samples of the cut) are laid over the recording;
    the one that fits best (0 to 1) decides.
    """
    import numpy as np

    last = max(end - _PIECE, start)
    pieces = min(2 + (last - start) // (2 * _PIECE), 6)
    best, chosen = -1.0, about
    for at in np.unique(np.linspace(start, last, pieces).astype(int)).tolist():
        ours = cut.read(at, _PIECE)
        theirs = recording.read(at + about - REACH, _PIECE + 2 * REACH)
        lag = _lag(ours, theirs)
        fit = _fit(ours, theirs[lag : lag + _PIECE])
        if fit > best:
            best, chosen = fit, about + lag - REACH
    return chosen, best


@dataclass(frozen=True, slots=True)
class Likeness:
    """Every 20 ms: how alike (0 to 1), and the level of cut and recording (dB of full scale)."""

    alike: Floats
    cut: Floats
    recording: Floats


def likeness(cut: Track, recording: Track, start: int, end: int, ahead: int) -> Likeness:
    """Compare sample `start` of the cut to `end` with the recording, `ahead` samples later.

    Sound turned upside down, as some mixers do, is as alike as sound that is not.
    """
    import numpy as np

    half = WINDOW // 2
    pieces: list[tuple[Floats, Floats, Floats]] = []
    for at in range(start, max(end, start), PART):
        count = (min(at + PART, end) - at) // STEP
        span = count * STEP + WINDOW
        ours = _emphasised(cut.read(at - half, span))
        theirs = _emphasised(recording.read(at - half + ahead, span))
        both, one, other = (_windowed(p, count) for p in (ours * theirs, ours**2, theirs**2))
        pieces.append((np.abs(both) / np.sqrt(np.maximum(one * other, 1e-14)), one, other))
    if not pieces:
        return Likeness(*(np.zeros(0, np.float32) for _ in range(3)))
    alike, one, other = (np.concatenate(rows) for rows in zip(*pieces, strict=True))
    return Likeness(np.minimum(alike, 1), _db(one), _db(other))


def _db(power: Floats) -> Floats:
    import numpy as np

    level: Floats = 10 * np.log10(np.maximum(power, 1e-12))
    return level


def _lag(ours: Floats, theirs: Floats) -> int:
    """Return where in `theirs` the shorter `ours` begins."""
    import numpy as np

    size = 1 << (len(theirs) + len(ours)).bit_length()
    cross = np.fft.rfft(theirs, size) * np.conj(np.fft.rfft(ours, size))
    pitch = np.fft.rfftfreq(size, 1 / RATE)
    cross = np.where((pitch > _BAND[0]) & (pitch < _BAND[1]), cross, 0)
    found = np.abs(np.fft.irfft(cross / np.maximum(np.abs(cross), 1e-9), size))
    return int(found[: len(theirs) - len(ours) + 1].argmax())


def _fit(ours: Floats, theirs: Floats) -> float:
    import numpy as np

    one, other = _emphasised(ours), _emphasised(theirs)
    power = float(np.sqrt((one @ one) * (other @ other)))
    return abs(float(one @ other)) / power if power > 1e-9 else 0.0


def _emphasised(samples: Floats) -> Floats:
    """Return the samples with what is high made louder, as voices are told apart there."""
    out = samples.copy()
    out[1:] -= _EMPHASIS * samples[:-1]
    return out


def _windowed(products: Floats, count: int) -> Floats:
    """Return the mean of the products in each window."""
    import numpy as np

    sums = np.concatenate([[0.0], np.cumsum(products, dtype=np.float64)])
    at = np.arange(count) * STEP
    means: Floats = ((sums[at + WINDOW] - sums[at]) / WINDOW).astype(np.float32)
    return means
