"""The cut as a row of passages: the likeliest path through all places it may come from.

A. Viterbi, Error Bounds for Convolutional Codes, IEEE Transactions on Information Theory 13,
1967: at each 20 ms the cut either is one of the likely stretches or is nothing known. Likeness
speaks for a stretch and its absence against it, save where the recording could not be heard;
going from one to another costs a fixed amount, so that no syllable is taken from elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .align import STEP
from .evidence import LEAST, Pair, State, loudness, measured
from .index import Likely
from .track import RATE, Track

if TYPE_CHECKING:
    from .evidence import Bools

SHORTEST = 0.35
"""Seconds; what is shorter cannot be told from chance."""
_WEAK = 0.3
_SAME = 0.03
_BLINK = 0.75
_HARDLY = 0.2
_MOSTLY = 0.8
_BREATH = 6 * RATE // 10


@dataclass(frozen=True, slots=True)
class Passage:
    """From `start` to `end` (seconds of the cut) it is the recording, `distance` s later.

    For `before` seconds ahead of it and `after` seconds behind it the recording might go on
    without being heard, as it is silent there or the cut is louder.
    """

    start: float
    end: float
    recording: int
    distance: float
    before: float = 0.0
    after: float = 0.0


@dataclass(frozen=True, slots=True)
class _Run:
    """A passage in samples of the cut."""

    start: int
    end: int
    recording: int
    pair: Pair
    before: int = 0
    after: int = 0


def passages(cut: Track, recordings: Sequence[Track], found: Sequence[Likely]) -> list[Passage]:
    """Return the passages in the cut's order; they do not overlap."""
    loud = [loudness(track) for track in recordings]
    states: list[State] = []
    for one in worth_measuring(found):
        at = one.recording
        state = measured(cut, recordings[at], one, loud[at], states)
        if state is not None:
            states.append(state)
    runs = _with_breaths(_joined(_path(states, cut.length // STEP + 1)), cut.length)
    return [
        Passage(
            r.start / RATE,
            min(r.end, cut.length) / RATE,
            r.recording,
            r.pair.ahead / RATE,
            r.before / RATE,
            r.after / RATE,
        )
        for r in runs
    ]


def worth_measuring(found: Sequence[Likely]) -> list[Likely]:
    """Leave out, of stretches given best first, those that lie within a far better one."""
    kept: list[Likely] = []
    for one in found:
        if not any(
            k.start <= one.start and one.end <= k.end and one.density < _WEAK * k.density
            for k in kept
        ):
            kept.append(one)
    return kept


def _path(states: Sequence[State], steps: int) -> list[_Run]:
    """Return the best path; state -1 is "nothing known" and neither gains nor loses."""
    begins: dict[int, list[int]] = {}
    for number, state in enumerate(states):
        begins.setdefault(state.first, []).append(number)
    best = [-1] * (steps + 1)
    entered: list[set[int]] = [set() for _ in states]
    evidence = [state.evidence.tolist() for state in states]
    scores: dict[int, float] = {-1: 0.0}
    waiting: set[int] = set()
    for step in range(steps):
        leader = max(scores, key=lambda number: (scores[number], number == -1))
        best[step] = leader
        entry = scores[leader] - LEAST
        waiting.update(begins.get(step, ()))
        going = {-1: max(scores[-1], scores[leader])}
        for number in sorted(waiting):
            at = step - states[number].first
            if at >= len(evidence[number]):
                waiting.discard(number)
                continue
            stay = scores.get(number, entry)
            if number not in scores or stay < entry:
                entered[number].add(step)
                stay = entry
            going[number] = stay + evidence[number][at]
        scores = going
    best[steps] = max(scores, key=lambda number: scores[number])
    return _back(states, best, entered, steps)


def _back(
    states: Sequence[State], best: Sequence[int], entered: Sequence[set[int]], steps: int
) -> list[_Run]:
    found: list[_Run] = []
    step, number = steps, best[steps]
    while step > 0:
        if number == -1:
            step -= 1
        else:
            last = step
            while step - 1 not in entered[number]:
                step -= 1
            step -= 1
            state = states[number]
            found.append(_Run(step * STEP, last * STEP, state.recording, state.pair))
        number = best[step]
    return found[::-1]


def _joined(found: Sequence[_Run]) -> list[_Run]:
    """Drop what is too short to be told from chance; join neighbours of one distance.

    Between two of them lies a pause of the recording, or loud music over it; where the
    recording speaks and is not heard, something else was put in its place.
    """
    rows: list[_Run] = []
    for one in found:
        if one.end - one.start < SHORTEST * RATE:
            continue
        if rows and _goes_on(rows[-1], one):
            rows[-1] = replace(rows[-1], end=one.end)
        else:
            rows.append(one)
    return rows


def _goes_on(one: _Run, other: _Run) -> bool:
    if one.recording != other.recording:
        return False
    if abs(one.pair.ahead - other.pair.ahead) > _SAME * RATE:
        return False
    if other.start - one.end < _BLINK * RATE:
        return True
    found = one.pair.compare(one.end, other.start)
    there = one.pair.hidden(found) | (found.alike > _HARDLY)
    return bool(there.mean() > _MOSTLY)


def _with_breaths(rows: Sequence[_Run], length: int) -> list[_Run]:
    """Let passages have the pauses at their ends, which music hides; up to 0.6 s each."""
    found: list[_Run] = []
    for at, one in enumerate(rows):
        opened = found[-1].end if found else 0
        closed = rows[at + 1].start if at + 1 < len(rows) else length
        before = _leading(_pause(one, opened, one.start)[::-1]) * STEP
        after = _leading(_pause(one, one.end, closed)) * STEP
        head, tail = min(before, _BREATH), min(after, _BREATH)
        found.append(
            replace(
                one,
                start=one.start - head,
                end=one.end + tail,
                before=before - head,
                after=after - tail,
            )
        )
    return found


def _pause(one: _Run, start: int, end: int) -> Bools:
    return one.pair.hidden(one.pair.compare(start, end))


def _leading(flags: Bools) -> int:
    """Return how many flags are set before the first that is not."""
    return int(flags.argmin()) if len(flags) and not flags.all() else len(flags)
