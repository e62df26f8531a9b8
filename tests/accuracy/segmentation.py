"""Pk and WindowDiff over segment sizes, by the papers' definitions.

Pk: Beeferman, Berger, Lafferty, Machine Learning 34 (1999) 177-210. WindowDiff: Pevzner, Hearst,
Computational Linguistics 28(1) (2002) 19-36. k is half the mean reference segment length.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction


def _labels(sizes: Sequence[int]) -> list[int]:
    return [i for i, size in enumerate(sizes) for _ in range(size)]


def sizes_of(labels: Sequence[object]) -> list[int]:
    """Lengths of the runs of equal labels."""
    sizes: list[int] = []
    for i, label in enumerate(labels):
        if i and label == labels[i - 1]:
            sizes[-1] += 1
        else:
            sizes.append(1)
    return sizes


def window(reference: Sequence[int]) -> int:
    """Half the mean segment length of the reference, at least 1, rounded half up."""
    return max(1, int(Fraction(sum(reference), 2 * len(reference)) + Fraction(1, 2)))


def pk(reference: Sequence[int], found: Sequence[int], k: int | None = None) -> Fraction:
    """Share of pairs k units apart on which the two disagree about 'same segment'."""
    k = k or window(reference)
    a, b = _labels(reference), _labels(found)
    if len(a) != len(b):
        raise ValueError("both segmentations must cover the same units")
    pairs = range(len(a) - k)
    wrong = sum((a[i] == a[i + k]) != (b[i] == b[i + k]) for i in pairs)
    return Fraction(wrong, len(pairs)) if pairs else Fraction(0)


def window_diff(reference: Sequence[int], found: Sequence[int], k: int | None = None) -> Fraction:
    """Share of windows of k units in which the numbers of boundaries differ."""
    k = k or window(reference)
    a, b = _labels(reference), _labels(found)
    if len(a) != len(b):
        raise ValueError("both segmentations must cover the same units")
    windows = range(len(a) - k)
    wrong = sum(a[i + k] - a[i] != b[i + k] - b[i] for i in windows)
    return Fraction(wrong, len(windows)) if windows else Fraction(0)
