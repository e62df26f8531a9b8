"""Wilson intervals against printed values and scipy; summaries against hand and laws."""

from __future__ import annotations

from fractions import Fraction

import pytest
from ashdraft.pool.figures import rate, summary, wilson
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest


@pytest.mark.parametrize(
    ("k", "n", "low", "high"),
    [  # R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
        # small n: statsmodels 0.15.0, proportion_confint(method="wilson")
        (1, 5, 0.0362, 0.6245),
        (2, 7, 0.0822, 0.6411),
        (3, 5, 0.2307, 0.8824),
        (5, 10, 0.2366, 0.7634),
    ],
)
def test_wilson_gives_the_published_intervals(k: int, n: int, low: float, high: float) -> None:
    assert wilson(k, n) == pytest.approx((low, high), abs=5.1e-5)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_agrees_with_scipy(pair: tuple[int, int]) -> None:
    k, n = pair
    theirs = binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert wilson(k, n) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_wilson_of_the_others_is_the_mirror_image(pair: tuple[int, int]) -> None:
    k, n = pair
    low, high = wilson(k, n)
    assert 0 <= low <= k / n <= high <= 1
    assert wilson(n - k, n) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@pytest.mark.parametrize(("k", "n"), [(1, 0), (0, 0), (3, 2), (-1, 2)])
def test_wilson_refuses_what_is_no_proportion(k: int, n: int) -> None:
    with pytest.raises(ValueError, match="proportion"):
        wilson(k, n)


def test_a_rate_leaves_out_the_sticks_that_do_not_tell() -> None:
    found = rate({1: 0, 2: None, 3: 2})
    assert found is not None
    assert (found.k, found.n, found.sticks, found.silent) == (1, 2, (3,), (2,))
    assert rate({1: None, 2: None}) is None


def test_a_summary_by_hand() -> None:
    # 6, 7 and 9: the middle one is 7, the mean 22/3, the deviations -4/3, -1/3 and 5/3
    found = summary({1: 7, 2: 9, 3: None, 4: 6})
    assert found is not None
    assert (found.n, found.median, found.lowest, found.highest) == (3, 7, 6, 9)
    assert found.mean == pytest.approx(22 / 3)
    assert found.spread == pytest.approx((Fraction(42, 9) / 2) ** 0.5)
    assert found.values == {1: 7, 2: 9, 4: 6}


def test_missing_is_not_zero() -> None:
    assert summary({1: None, 2: None}) is None
    only = summary({1: None, 2: 4})
    assert only is not None
    assert (only.n, only.mean, only.spread) == (1, 4, None)
    two = summary({1: 4, 2: 5})
    assert two is not None
    assert two.spread is None


MARKS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=9)


@settings(max_examples=40, deadline=None)
@given(MARKS.flatmap(lambda row: st.tuples(st.just(row), st.permutations(row))))
def test_the_order_of_sticks_changes_no_figure(rows: tuple[list[float], list[float]]) -> None:
    one, other = (summary(dict(enumerate(row, 1))) for row in rows)
    assert one is not None
    assert other is not None
    for field in ("n", "median", "mean", "lowest", "highest", "spread"):
        assert getattr(one, field) == getattr(other, field)
