"""What speaks for and against a likely stretch, moment by moment."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .align import STEP, Likeness, distance, likeness
from .index import Likely
from .track import RATE, Track

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Bools = NDArray[np.bool_]
    Floats = NDArray[np.float32]

ALIKE = 0.35
"""Likeness from which on two sounds are the same. Other words of one voice stay below 0.3;
the same words under music of their own level reach 0.7."""
LEAST = 5.0
"""What a stretch must have in its favour: a fifth of a second that fits well."""
_QUIET = 30.0
"""dB below the recording's loud parts: pauses, which an editor may have made quieter still."""
_COVERED = 7.0
"""dB by which other sound must be louder than the recording for likeness to stay under 0.45."""
_CLEAR = 0.6
_UNDECIDED = -0.01
_AROUND = 8 * RATE
_FITS = 0.15
_SAME = RATE // 30


@dataclass(frozen=True, slots=True)
class Pair:
    """A recording laid over the cut: `ahead` in samples, `gain` in dB, `loud` its level in dB.

    The cut is `gain` dB louder than the recording.
    """

    cut: Track
    recording: Track
    ahead: int
    loud: float
    gain: float

    def compare(self, start: int, end: int) -> Likeness:
        """Compare them between two samples of the cut."""
        return likeness(self.cut, self.recording, start, end, self.ahead)

    def hidden(self, found: Likeness) -> Bools:
        """Return where the recording could not be heard in the cut, were it there."""
        quiet = found.recording < self.loud - _QUIET
        covered: Bools = found.recording + self.gain < found.cut - _COVERED
        return quiet | covered


@dataclass(frozen=True, slots=True)
class State:
    """A stretch from step `first` of the cut on (20 ms each), with its evidence."""

    first: int
    evidence: Floats
    recording: int
    pair: Pair

    def covers(self, recording: int, ahead: int, start: int, end: int) -> bool:
        """Return whether a stretch (samples of the cut) is a part of this one."""
        same = recording == self.recording and abs(self.pair.ahead - ahead) < _SAME
        last = self.first + len(self.evidence)
        return same and self.first * STEP <= start and end <= last * STEP


def measured(
    cut: Track, recording: Track, one: Likely, loud: float, known: list[State]
) -> State | None:
    """Measure a likely stretch and 8 s around it; None where it is nothing, or known already."""
    import numpy as np

    start, end = round(one.start * RATE), min(round(one.end * RATE), cut.length)
    ahead, fit = distance(cut, recording, start, end, round(one.distance * RATE))
    if fit < _FITS or any(s.covers(one.recording, ahead, start, end) for s in known):
        return None
    begin = -(-max(start - _AROUND, -ahead, 0) // STEP) * STEP
    finish = min(end + _AROUND, cut.length, recording.length - ahead)
    found = likeness(cut, recording, begin, finish, ahead)
    clear = found.alike > _CLEAR
    if not clear.any():
        clear = found.alike > ALIKE
    if not clear.any():
        return None
    louder = found.cut + 20 * np.log10(found.alike + 1e-6) - found.recording
    pair = Pair(cut, recording, ahead, loud, float(np.median(louder[clear])))
    fits = found.alike - ALIKE
    evidence = np.where(pair.hidden(found) & (fits < 0), _UNDECIDED, fits).astype(np.float32)
    if evidence.clip(min=0).sum() < LEAST:
        return None
    return State(begin // STEP, evidence, one.recording, pair)


def loudness(track: Track) -> float:
    """Return the level (dB, high pitches weighted) that a twentieth of the recording reaches."""
    import numpy as np

    level = likeness(track, track, 0, track.length, 0).recording
    return float(np.quantile(level, 0.95)) if len(level) else 0.0
