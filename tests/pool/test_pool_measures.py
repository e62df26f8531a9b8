"""Counts, minutes, pace and money, by hand. Thirds of a length: 7. of the references."""

from __future__ import annotations

import pytest
from ashdraft.model import Timing
from ashdraft.pool.measures import measures
from ashdraft.pool.tables import minutes, number, rated, summarised

from .build import NONE, SILENT, stick, touched

TIMED = Timing(lit=60.0, second_third=1560.0, final_third=2760.0, put_down=4260.0)


def test_one_of_five_sticks_reads_as_such() -> None:
    sticks = [stick(n, touch_ups=touched(1, 1, 0) if n == 3 else NONE) for n in range(1, 6)]
    found = measures(sticks)
    # Wilson, 1 of 5: .0362 to .6245 (statsmodels 0.15.0)
    assert rated(found.touched_up) == "1 of 5 sticks, 4 to 62 %"
    assert found.touch_ups is not None
    assert (found.touch_ups.median, found.touch_ups.highest) == (0, 2)


def test_silence_about_relights_is_not_none() -> None:
    found = measures([stick(1, relights=NONE), stick(2, relights=SILENT)])
    assert found.relit is not None
    assert (found.relit.k, found.relit.n, found.relit.silent) == (0, 1, (2,))
    assert rated(found.relit) == "0 of 1 stick; not mentioned in 1"
    assert rated(measures([stick(1), stick(2)]).relit) == "not mentioned"


def test_time_and_pace_of_the_whole_and_of_each_third() -> None:
    # 70 min for 152.4 mm; thirds of 25, 20 and 25 min for 50.8 mm each
    (row,) = measures([stick(facts={"length_in": 6, "ring_gauge": 52}, timing=TIMED)]).sticks
    assert (row.minutes, row.basis, row.thirds) == (70, "recorded", (25, 20, 25))
    assert row.pace == pytest.approx(152.4 / 70)
    assert row.pace_by_third == pytest.approx((50.8 / 25, 50.8 / 20, 50.8 / 25))


def test_the_time_told_is_used_and_the_recorded_one_is_kept() -> None:
    (row,) = measures([stick(facts={"smoking_minutes": 65}, timing=TIMED)]).sticks
    assert (row.minutes, row.basis, row.recorded) == (65, "told", 70)


def test_no_size_no_pace_and_no_time_no_pace() -> None:
    found = measures([stick(1, timing=TIMED), stick(2, facts={"length_in": 6})])
    assert [row.pace for row in found.sticks] == [None, None]
    assert found.pace is None
    assert found.minutes is not None
    assert found.minutes.n == 1


def test_a_third_without_both_ends_has_no_length_of_time() -> None:
    (row,) = measures([stick(timing=Timing(lit=0.0, final_third=2400.0, put_down=3600.0))]).sticks
    assert row.thirds == (None, None, 20)


def test_money_by_hand() -> None:
    facts = {"price": 9.2, "box_price_each": 7.82, "currency": "USD", "smoking_minutes": 76}
    (row,) = measures([stick(facts=facts)]).sticks
    assert row.box_saving == pytest.approx(0.15)  # 1.38 of 9.20
    assert row.price_per_hour == pytest.approx(9.2 * 60 / 76)
    (dear,) = measures([stick(facts={"price": 5, "box_price_each": 6})]).sticks
    assert dear.box_saving == pytest.approx(-0.2)
    (gift,) = measures([stick(facts={"price": 0, "smoking_minutes": 60})]).sticks
    assert (gift.price_per_hour, gift.box_saving) == (None, None)


def test_n_is_always_shown() -> None:
    found = measures([stick(n, timing=TIMED) for n in (1, 2)])
    assert summarised(found.minutes, " min", 0) == "median 70, mean 70, 70 to 70 min (n = 2)"
    assert summarised(measures([stick(timing=TIMED)]).minutes, " min", 0) == "70 min (n = 1)"
    assert summarised(None) == "not mentioned"


@pytest.mark.parametrize(
    ("value", "digits", "shown"),
    [(6.25, 1, "6.3"), (6.25, 2, "6.25"), (70.5, 0, "71"), (7.0, 1, "7"), (70.0, 0, "70"),
     (2.675, 2, "2.68"), (1 / 3, 1, "0.3"), (-0.04, 1, "0"), (-1.25, 1, "-1.3")],
)  # fmt: skip
def test_halves_are_rounded_away_from_nought_as_written(
    value: float, digits: int, shown: str
) -> None:
    # 2.675 is the usual example of what binary fractions round wrongly (Python docs, round()).
    assert number(value, digits) == shown


def test_half_minutes_are_rounded_upwards() -> None:
    assert (minutes(70.5), minutes(None)) == ("71 min", "not mentioned")
