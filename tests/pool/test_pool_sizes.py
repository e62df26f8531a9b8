"""Sizes are kept apart, and one that was told in part is not guessed."""

from __future__ import annotations

from itertools import permutations
from typing import Any

import pytest
from ashdraft.pool.sizes import by_size, length_mm

from .build import stick

TORO: dict[str, Any] = {"length_in": 6, "ring_gauge": 52, "format": "toro"}
ROBUSTO: dict[str, Any] = {"length_in": 5, "ring_gauge": 50}


def groups(*facts: dict[str, Any]) -> list[tuple[int, ...]]:
    sticks = [stick(n, facts=row) for n, row in enumerate(facts, 1)]
    return [tuple(s.number for s in of.sticks) for of in by_size(sticks)]


def test_two_sizes_are_two_groups() -> None:
    assert groups(TORO, ROBUSTO, TORO) == [(1, 3), (2,)]


def test_an_untold_size_joins_the_only_one_there_is_and_is_named() -> None:
    of = by_size([stick(1, facts=TORO), stick(2)])
    assert [o.assumed for o in of] == [(2,)]
    assert [len(o.sticks) for o in of] == [2]


def test_an_untold_size_joins_neither_of_two() -> None:
    assert groups(TORO, ROBUSTO, {}) == [(1,), (2,), (3,)]


def test_a_part_that_contradicts_keeps_apart() -> None:
    assert groups(TORO, {"ring_gauge": 50}) == [(1,), (2,)]
    assert groups(TORO, {"format": "lancero"}) == [(1,), (2,)]
    assert groups(TORO, {"format": "Toro"}, {"ring_gauge": 52}) == [(1, 2, 3)]
    assert groups(TORO, ROBUSTO, {"format": "toro", "length_in": 6}) == [(1, 3), (2,)]


def test_without_inches_the_formats_tell_sizes_apart() -> None:
    assert groups({"format": "toro"}, {"format": "corona"}, {"format": "Toro"}) == [(1, 3), (2,)]
    assert groups({}, {}) == [(1, 2)]


def test_a_length_is_the_same_to_the_nearest_sixteenth() -> None:
    assert groups(
        {"length_in": 5.625, "ring_gauge": 46}, {"length_in": 5.63, "ring_gauge": 46}
    ) == [(1, 2)]


def test_the_order_of_sticks_does_not_change_which_belong_together() -> None:
    facts = [TORO, ROBUSTO, {"format": "toro"}, {}, {"ring_gauge": 50}]
    sticks = [stick(n, facts=row) for n, row in enumerate(facts, 1)]
    found = {
        frozenset(frozenset(s.number for s in of.sticks) for of in by_size(order))
        for order in permutations(sticks)
    }
    assert len(found) == 1


@pytest.mark.parametrize(
    ("length", "ring", "words"),
    [  # 1 inch = 25.4 mm exactly; ring gauge is 1/64 inch (trade practice)
        (5.625, 46, "5 5/8 x 46 (143 x 18.3 mm)"),
        (6, 52, "6 x 52 (152 x 20.6 mm)"),
        (7, 47, "7 x 47 (178 x 18.7 mm)"),
        (4.5, 64, "4 1/2 x 64 (114 x 25.4 mm)"),
    ],
)
def test_sizes_are_printed_in_both_units(length: float, ring: int, words: str) -> None:
    (of,) = by_size([stick(facts={"length_in": length, "ring_gauge": ring})])
    assert of.size.words == words


def test_no_length_is_taken_from_another_stick() -> None:
    of = by_size([stick(1, facts=TORO), stick(2)])[0]
    assert [length_mm(s) for s in of.sticks] == [pytest.approx(152.4), None]
