"""Labels above a strip: stacked so that none covers another and no leader crosses a label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

AIR = 8
"""Units kept free between two labels of a lane."""
EDGE = 3
"""Units at either end of a label that its words do not reach: a leader may pass there."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A label from `left` to `right` in `lane` (0 is the lowest), its leader at `x`."""

    x: float
    left: float
    right: float
    lane: int


def stacked(
    wanted: Sequence[tuple[float, float]], low: float, high: float, lanes: int
) -> list[Placed | None]:
    """Return a place for each label, given as its x and its width, between `low` and `high`.

    A label starts at its x and low; where it cannot, it ends there, or at the edge, and is put
    high, above the leaders that it crosses. None stands for a label that no lane has room for.
    No lane below another in use is empty. The answer is in the order of `wanted`.
    """
    found: dict[int, Placed] = {}
    for n in sorted(range(len(wanted)), key=lambda n: (-wanted[n][0], n)):
        x, width = wanted[n]
        tries = [Placed(x, x, x + width, lane) for lane in range(lanes)]
        left = max(low, x - width)
        tries += [Placed(x, left, left + width, lane) for lane in reversed(range(lanes))]
        for place in tries:
            inside = low <= place.left and place.right <= high
            if inside and not any(_clash(place, other) for other in found.values()):
                found[n] = place
                break
    used = sorted({place.lane for place in found.values()})
    dense = {n: replace(place, lane=used.index(place.lane)) for n, place in found.items()}
    return [dense.get(n) for n in range(len(wanted))]


def _clash(one: Placed, other: Placed) -> bool:
    if one.lane == other.lane:
        return one.left < other.right + AIR and other.left < one.right + AIR
    upper, lower = (one, other) if one.lane > other.lane else (other, one)
    return lower.left + EDGE < upper.x < lower.right - EDGE
