"""The few figures that are drawn from several sticks. None of them claims significance."""

from __future__ import annotations

import statistics
from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

Z95 = statistics.NormalDist().inv_cdf(0.975)
"""Half-width of 95 % of a normal distribution, in standard deviations."""
FEW = 3
"""Below so many sticks no standard deviation is given."""


@dataclass(frozen=True, slots=True)
class Summary:
    """Values by the number of their stick; `spread` is the sample standard deviation, None
    below three values.
    """

    values: Mapping[int, float]
    median: float
    mean: float
    lowest: float
    highest: float
    spread: float | None

    @property
    def n(self) -> int:
        return len(self.values)


@dataclass(frozen=True, slots=True)
class Rate:
    """`k` of the `n` sticks of which it is known, with its 95 % Wilson interval (0 to 1).

    `sticks` are those k; `silent` are the sticks about which nothing was said.
    """

    k: int
    n: int
    low: float
    high: float
    sticks: tuple[int, ...]
    silent: tuple[int, ...]


def summary(values: Mapping[int, float | None]) -> Summary | None:
    """Return the summary of the values that are there, None where there are none.

    Sums are exact before they are rounded, so that the order of the sticks changes nothing.
    """
    there = {stick: float(v) for stick, v in sorted(values.items()) if v is not None}
    if not there:
        return None
    rows = list(there.values())
    return Summary(
        there,
        statistics.median(rows),
        statistics.fmean(rows),
        min(rows),
        max(rows),
        statistics.stdev(rows) if len(rows) >= FEW else None,
    )


def rate(counts: Mapping[int, int | None]) -> Rate | None:
    """Return in how many sticks a count was above zero; None where nobody spoke of it."""
    known = {stick: n for stick, n in sorted(counts.items()) if n is not None}
    if not known:
        return None
    sticks = tuple(stick for stick, n in known.items() if n)
    low, high = wilson(len(sticks), len(known))
    silent = tuple(sorted(stick for stick, n in counts.items() if n is None))
    return Rate(len(sticks), len(known), low, high, sticks, silent)


def wilson(k: int, n: int) -> tuple[float, float]:
    """Return the 95 % score interval of a proportion, without continuity correction.

    E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212; formula as in the NIST/SEMATECH
    e-Handbook of Statistical Methods, 7.2.4.1. Raises `ValueError` unless 0 <= k <= n, n > 0.
    """
    if not 0 <= k <= n or n == 0:
        raise ValueError("a proportion needs 0 <= k <= n and n > 0")
    share, z2 = k / n, Z95 * Z95
    centre = share + z2 / (2 * n)
    half = Z95 * sqrt(share * (1 - share) / n + z2 / (4 * n * n))
    low = (centre - half) / (1 + z2 / n) if k else 0.0
    high = (centre + half) / (1 + z2 / n) if k < n else 1.0
    return low, high
