"""The segmentation figures against published worked examples and NLTK."""

from __future__ import annotations

import itertools
import warnings
from fractions import Fraction as F

import pytest

from .segmentation import pk, sizes_of, window, window_diff

# Worked values on which segeval 2.0.11, NLTK 3.10.4 and the papers' definitions agree; the last
# pair is Hearst 1997, "Stargazer", two coders.
WORKED = [
    ((2, 3, 6), (2, 2, 7), F(2, 9), F(2, 9)),
    ((2, 3, 6), (5, 6), F(2, 9), F(2, 9)),
    ((2, 3, 6), (2, 3, 3, 3), F(2, 9), F(2, 9)),
    ((2, 3, 6), (1, 1, 3, 1, 5), F(1, 9), F(3, 9)),
    ((5, 3, 5), (4, 4, 5), F(2, 11), F(2, 11)),
    ((5, 3, 5), (5, 1, 2, 5), F(1, 11), F(2, 11)),
    ((4, 4, 5), (5, 1, 2, 5), F(3, 11), F(3, 11)),
    ((2, 3, 3, 1, 3, 6, 3), (2, 6, 4, 2, 4, 3), F(5, 19), F(6, 19)),
]


@pytest.mark.parametrize(("reference", "found", "p", "w"), WORKED)
def test_worked_examples(reference: tuple[int, ...], found: tuple[int, ...], p: F, w: F) -> None:
    assert window(reference) == 2
    assert pk(reference, found) == p
    assert window_diff(reference, found) == w


def test_k_comes_from_the_reference() -> None:
    # 13 units (segeval's own tests): one segment found 4/11; the other way round 1.
    assert pk((4, 4, 5), (13,)) == F(4, 11)
    assert pk((13,), (4, 4, 5)) == 1


def _gaps(sizes: tuple[int, ...]) -> str:
    """One symbol a gap (N - 1), the form in which NLTK equals the papers."""
    units = [i for i, size in enumerate(sizes) for _ in range(size)]
    return "".join("01"[a != b] for a, b in itertools.pairwise(units))


@pytest.mark.parametrize(("reference", "found", "p", "w"), WORKED)
def test_nltk_agrees(reference: tuple[int, ...], found: tuple[int, ...], p: F, w: F) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from nltk.metrics.segmentation import pk as nltk_pk
        from nltk.metrics.segmentation import windowdiff
    assert nltk_pk(_gaps(reference), _gaps(found), k=2) == pytest.approx(float(p))
    assert windowdiff(_gaps(reference), _gaps(found), 2) == pytest.approx(float(w))


def test_sizes_of_runs() -> None:
    assert sizes_of("aabccc") == [2, 1, 3]
    assert sizes_of("") == []
