"""What can be counted and timed: touch-ups, relights, minutes, millimetres a minute, money."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..model import Count, FactValue
from .figures import Rate, Summary, rate, summary
from .sizes import length_mm
from .sticks import Stick

Thirds = tuple[float | None, float | None, float | None]
MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class Measured:
    """One stick. Minutes, mm a minute, money in `currency`; None is "not mentioned".

    `minutes` is what was said or typed, else what the recording shows (`basis`); both stand in
    `told` and `recorded`. Pace takes a third to be a third of the length, and the whole length
    to be smoked, as the butt is not measured.
    """

    stick: int
    touch_ups: Count | None
    relights: Count | None
    told: float | None
    recorded: float | None
    thirds: Thirds
    pace: float | None
    pace_by_third: Thirds
    price: float | None
    box_price_each: float | None
    currency: str | None
    box_saving: float | None
    price_per_hour: float | None

    @property
    def minutes(self) -> float | None:
        return self.told if self.told is not None else self.recorded

    @property
    def basis(self) -> str | None:
        if self.told is not None:
            return "told"
        return "recorded" if self.recorded is not None else None


@dataclass(frozen=True, slots=True)
class Measures:
    """The sticks of one size, each and together."""

    sticks: tuple[Measured, ...]
    touched_up: Rate | None
    relit: Rate | None
    touch_ups: Summary | None
    relights: Summary | None
    minutes: Summary | None
    minutes_by_third: tuple[Summary | None, Summary | None, Summary | None]
    pace: Summary | None


def measures(sticks: Sequence[Stick]) -> Measures:
    """Return what was counted and timed of sticks of one size."""
    rows = tuple(_measured(stick) for stick in sticks)
    touch_ups = {row.stick: _total(row.touch_ups) for row in rows}
    relights = {row.stick: _total(row.relights) for row in rows}
    first, second, final = (
        summary({row.stick: row.thirds[third] for row in rows}) for third in range(3)
    )
    return Measures(
        rows,
        rate(touch_ups),
        rate(relights),
        summary(touch_ups),
        summary(relights),
        summary({row.stick: row.minutes for row in rows}),
        (first, second, final),
        summary({row.stick: row.pace for row in rows}),
    )


def _measured(stick: Stick) -> Measured:
    timing, facts = stick.reading.timing, stick.facts
    told = _positive(facts, "smoking_minutes")
    recorded = _minutes(timing.lit, timing.put_down)
    minutes = told if told is not None else recorded
    thirds = (
        _minutes(timing.lit, timing.second_third),
        _minutes(timing.second_third, timing.final_third),
        _minutes(timing.final_third, timing.put_down),
    )
    length = length_mm(stick)
    first, second, final = (_pace(length and length / 3, lasted) for lasted in thirds)
    price, box = _positive(facts, "price"), _positive(facts, "box_price_each")
    currency = facts.get("currency")
    return Measured(
        stick.number,
        _known(stick.reading.touch_ups),
        _known(stick.reading.relights),
        told,
        recorded,
        thirds,
        _pace(length, minutes),
        (first, second, final),
        price,
        box,
        str(currency) if currency else None,
        1 - box / price if price and box is not None else None,
        price / minutes * MINUTE if price is not None and minutes else None,
    )


def _known(count: Count) -> Count | None:
    """None where nothing was said about it: that is no zero."""
    return count if count.total or count.utterances else None


def _total(count: Count | None) -> int | None:
    return None if count is None else count.total


def _minutes(begin: float | None, end: float | None) -> float | None:
    if begin is None or end is None or end <= begin:
        return None
    return (end - begin) / MINUTE


def _pace(millimetres: float | None, minutes: float | None) -> float | None:
    return millimetres / minutes if millimetres and minutes else None


def _positive(facts: Mapping[str, FactValue], key: str) -> float | None:
    value = facts.get(key)
    return float(value) if isinstance(value, int | float) and value > 0 else None
