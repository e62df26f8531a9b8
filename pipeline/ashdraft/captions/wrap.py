"""Where a run of words breaks into cues, and a cue into its two lines.

Both are decided by least cost (D. Knuth, M. Plass, Breaking Paragraphs into Lines, Software:
Practice and Experience 11, 1981): over a whole run of speech the cheapest row of cues is taken,
where a break costs what `phrases.border` says and a cue what its length on screen says.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

from .phrases import border
from .timed import LINE_CHARACTERS, Timed

LONGEST = 7.0
"""Seconds a cue stays at most (Netflix, Timed Text Style Guide: General Requirements)."""
SHORTEST = 5 / 6
"""Seconds a cue stays at least (same)."""
GAP = 2 / 24
"""Seconds between two cues at least: two frames (same), at the slowest common rate."""
RATE = 20.0
"""Characters a second, spaces counted (same, English guide, adult programmes)."""
LAG = 1.5
"""Seconds a cue may outstay the speech (BBC Subtitle Guidelines 1.1.7, at most 1.5 s)."""
PAUSE = 1.0
"""A cue does not run on across a longer silence between two words (seconds)."""

_CUE = 4.0
_STRETCHED = 40.0
_HURRIED = 1.5
_FLASHED = 14.0
_ACROSS = 9.0
_BREATH = 0.25
_SENTENCE = 5.0


def runs(words: Sequence[Timed], next_start: float) -> list[tuple[int, int]]:
    """Cut `words` into cues `(first, behind last)`; `next_start` is when the next ones begin.

    Every cue fits two lines; it stays under 7 s unless a single word is longer than that.
    """
    reach = [0, *accumulate(len(w.text) + 1 for w in words)]
    costs = [border(a.text, b.text) for a, b in pairwise(words)]
    starts = [*(w.start for w in words), next_start]
    best = [0.0] + [float("inf")] * len(words)
    came = [0] * (len(words) + 1)
    for behind in range(1, len(words) + 1):
        inner = 0.0
        for first in range(behind - 1, -1, -1):
            if first + 1 < behind:
                inner += _inside(words[first], words[first + 1], costs[first])
            fold = _fold(reach, costs, first, behind)
            if fold is None:
                break
            cost = best[first] + _CUE + inner + fold[1]
            if behind < len(words):
                pause = starts[behind] - words[behind - 1].end
                cost += costs[behind - 1] * (1.0 if pause > _BREATH else 2.0)
            cost += _time_cost(words, starts, reach, first, behind)
            if cost < best[behind]:
                best[behind], came[behind] = cost, first
    found = []
    behind = len(words)
    while behind:
        found.append((came[behind], behind))
        behind = came[behind]
    return found[::-1]


def lines(words: Sequence[Timed]) -> tuple[str, ...]:
    """Lay out one cue of `runs` on one line or two."""
    reach = [0, *accumulate(len(w.text) + 1 for w in words)]
    costs = [border(a.text, b.text) for a, b in pairwise(words)]
    texts = [w.text for w in words]
    fold = _fold(reach, costs, 0, len(words))
    if fold is None or not fold[0]:
        return (" ".join(texts),)
    return (" ".join(texts[: fold[0]]), " ".join(texts[fold[0] :]))


def _fold(
    reach: Sequence[int], costs: Sequence[float], first: int, behind: int
) -> tuple[int, float] | None:
    """Return where the second line begins (0: there is none) and its cost; None: too long."""
    whole = reach[behind] - reach[first] - 1
    if whole <= LINE_CHARACTERS:
        return 0, 0.0
    if whole > 2 * LINE_CHARACTERS + 1:
        return None
    best: tuple[int, float] | None = None
    for at in range(behind - 1, first, -1):
        lower = reach[behind] - reach[at] - 1
        if lower > LINE_CHARACTERS:
            break
        upper = reach[at] - reach[first] - 1
        if upper <= LINE_CHARACTERS:
            cost = costs[at - 1] + 4.0 * abs(upper - lower) / LINE_CHARACTERS
            if best is None or cost < best[1]:
                best = at, cost
    return best


def _inside(word: Timed, following: Timed, cost: float) -> float:
    """Return what it costs that a cue runs on from a word to the next one."""
    silent = following.start - word.end
    across = _ACROSS * (silent / PAUSE) if silent > PAUSE else 0.0
    return across + (_SENTENCE if cost == 0.0 else 0.0)


def _time_cost(
    words: Sequence[Timed], starts: Sequence[float], reach: Sequence[int], first: int, behind: int
) -> float:
    spoken = words[behind - 1].end - words[first].start
    room = min(starts[behind] - GAP, words[behind - 1].end + LAG) - words[first].start
    characters = reach[behind] - reach[first] - 1
    cost = 0.0
    if spoken > LONGEST and behind - first > 1:
        cost += _STRETCHED + 10.0 * (spoken - LONGEST)
    if room < SHORTEST:
        cost += _FLASHED * (1.0 - max(room, 0.0) / SHORTEST)
    rate = characters / max(room, 0.05)
    if rate > RATE:
        cost += _HURRIED * min(rate - RATE, 20.0)
    return cost
