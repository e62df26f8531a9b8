"""Krippendorff's alpha for ordered marks: how far reviewers agree beyond chance."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import permutations


def ordinal_alpha(units: Sequence[Sequence[float]]) -> float | None:
    """Return alpha with the ordinal difference; 1 is agreement, 0 what chance would give.

    A unit holds the values that its observers gave (missing ones left out); units with fewer
    than two values cannot be paired and do not count. None where nothing can be paired or all
    values are one, for which alpha is not defined. Reckoned in fractions, so exact until the
    end and the same for any order of units and observers. K. Krippendorff, *Computing
    Krippendorff's Alpha-Reliability* (2011), example C and the table of differences.
    """
    paired = [unit for unit in units if len(unit) > 1]
    coincidences: defaultdict[tuple[float, float], Fraction] = defaultdict(Fraction)
    for unit in paired:
        for pair in permutations(unit, 2):
            coincidences[pair] += Fraction(1, len(unit) - 1)
    totals: defaultdict[float, Fraction] = defaultdict(Fraction)
    for (value, _), weight in coincidences.items():
        totals[value] += weight
    values = sorted(totals)
    if len(values) < 2:
        return None
    n = sum(totals.values())
    apart = _differences(values, totals)
    observed = sum(weight * apart[pair] for pair, weight in coincidences.items())
    expected = sum(
        totals[one] * totals[other] * apart[one, other] for one in values for other in values
    )
    return float(1 - (n - 1) * observed / expected)


def _differences(
    values: Sequence[float], totals: Mapping[float, Fraction]
) -> dict[tuple[float, float], Fraction]:
    """Return the squared ordinal differences: marks that lie between two, and half of these."""
    apart: dict[tuple[float, float], Fraction] = {}
    for low, one in enumerate(values):
        for high, other in enumerate(values[low:], start=low):
            between = sum((totals[v] for v in values[low : high + 1]), Fraction(0))
            squared = (between - (totals[one] + totals[other]) / 2) ** 2
            apart[one, other] = apart[other, one] = squared
    return apart
