"""Krippendorff's alpha against its author's example and against an independent program."""

from __future__ import annotations

import warnings
from collections.abc import Sequence

import krippendorff
import numpy as np
import pytest
from ashdraft.pool.alpha import ordinal_alpha
from hypothesis import given, settings
from hypothesis import strategies as st

# K. Krippendorff, Computing Krippendorff's Alpha-Reliability (2011), example C: four observers,
# twelve units, None where an observer gave nothing. Ordinal alpha is printed as 0.815.
EXAMPLE_C: list[list[float | None]] = [
    [1, 2, 3, 3, 2, 1, 4, 1, 2, None, None, None],
    [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, None, 3],
    [None, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, None],
    [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, None],
]


def units(observers: Sequence[Sequence[float | None]]) -> list[list[float]]:
    return [[v for v in column if v is not None] for column in zip(*observers, strict=True)]


def test_alpha_of_the_published_example() -> None:
    assert ordinal_alpha(units(EXAMPLE_C)) == pytest.approx(0.815, abs=5e-4)
    # more digits: the package krippendorff 0.9.0
    assert ordinal_alpha(units(EXAMPLE_C)) == pytest.approx(0.815388, abs=5e-7)


def test_alpha_of_two_values_is_that_of_the_binary_example() -> None:
    # ibid., example A, binary: 0.095; with two values every level of measurement is one
    one, other = ([float(c) for c in row] for row in ("0100000010", "1110010000"))
    assert ordinal_alpha(units([one, other])) == pytest.approx(0.095, abs=5e-4)


GRID = st.integers(2, 4).flatmap(
    lambda observers: st.integers(2, 8).flatmap(
        lambda n: st.lists(
            st.lists(st.sampled_from([None, 1.0, 2.0, 2.5, 4.0, 9.0]), min_size=n, max_size=n),
            min_size=observers,
            max_size=observers,
        )
    )
)


@settings(max_examples=40, deadline=None)
@given(GRID)
def test_alpha_agrees_with_the_krippendorff_package(
    observers: list[list[float | None]],
) -> None:
    ours = ordinal_alpha(units(observers))
    paired = [unit for unit in units(observers) if len(unit) > 1]
    if len({v for unit in paired for v in unit}) < 2:
        assert ours is None
        return
    data = np.array([[np.nan if v is None else v for v in row] for row in observers])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = krippendorff.alpha(reliability_data=data, level_of_measurement="ordinal")
    assert ours == pytest.approx(theirs, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(GRID.flatmap(lambda g: st.tuples(st.just(g), st.permutations(g))))
def test_the_order_of_observers_and_units_changes_nothing(
    grids: tuple[list[list[float | None]], list[list[float | None]]],
) -> None:
    one, other = grids
    assert ordinal_alpha(units(one)) == ordinal_alpha(units(other)[::-1])


def test_full_agreement_is_one_and_no_variation_is_undefined() -> None:
    assert ordinal_alpha([[1, 1], [5, 5], [9, 9]]) == 1
    assert ordinal_alpha([[5, 5], [5, 5]]) is None
    assert ordinal_alpha([[5], [7]]) is None
    assert ordinal_alpha([]) is None
