"""The order in which sessions are named changes no figure; it only numbers them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ashdraft.model import Timing
from ashdraft.pool.document import pooled_json
from ashdraft.pool.pooled import pool
from ashdraft.pool.sticks import Stick
from hypothesis import given, settings
from hypothesis import strategies as st

from .build import NONE, SILENT, marked, note, stick, touched

MARKS = st.dictionaries(
    st.sampled_from(["draw", "ash", "heat"]), st.none() | st.integers(1, 9), min_size=3, max_size=3
)
FACTS = st.fixed_dictionaries(
    {},
    optional={
        "length_in": st.sampled_from([5, 6]),
        "ring_gauge": st.sampled_from([50, 52]),
        "price": st.floats(1, 40).map(lambda v: round(v, 2)),
        "box_price_each": st.floats(1, 40).map(lambda v: round(v, 2)),
        "rh_percent": st.sampled_from([65, 69]),
        "smoking_minutes": st.integers(20, 120),
    },
)
NOTES = st.lists(
    st.builds(
        note,
        st.sampled_from(["cedar", "oak", "red cedar"]),
        st.sampled_from([1, 2, 3, None]),
        polarity=st.sampled_from(["present", "absent"]),
    ),
    max_size=6,
)
SAID = st.lists(
    st.sampled_from(
        [
            ("burn", 1, "The draw is tight."),
            ("burn", 1, "The draw is open."),
            ("setup", None, "Hm."),
        ]
    ),
    min_size=1,
    max_size=3,
)


@st.composite
def sticks(draw: st.DrawFn) -> Stick:
    tallied = draw(st.none() | MARKS)
    return stick(
        1,
        facts=draw(FACTS),
        reviewer=draw(st.sampled_from([None, "Ines", "Odo"])),
        touch_ups=draw(st.sampled_from([SILENT, NONE, touched(1, 0, 1)])),
        relights=draw(st.sampled_from([SILENT, NONE, touched(0, 0, 1)])),
        timing=draw(st.sampled_from([Timing(), Timing(0.0, 1400.0, 2500.0, 4000.5)])),
        notes=draw(NOTES),
        said=draw(SAID),
        sheet=None if tallied is None else marked(tallied, total=draw(st.none() | st.floats(1, 9))),
    )


@settings(max_examples=15, deadline=None)
@given(st.lists(sticks(), min_size=2, max_size=4).flatmap(
    lambda row: st.tuples(st.just(row), st.permutations(range(len(row))))
))  # fmt: skip
def test_the_order_of_sessions_changes_no_figure(
    drawn: tuple[list[Stick], list[int]],
) -> None:
    row, order = drawn
    one = json.loads(pooled_json(pool([replace(s, number=n) for n, s in enumerate(row, 1)])))
    moved = [replace(row[old], number=new) for new, old in enumerate(order, 1)]
    other = json.loads(pooled_json(pool(moved)))
    names = {str(new): str(old + 1) for new, old in enumerate(order, 1)}
    assert settled(one["groups"], {n: n for n in names}) == settled(other["groups"], names)


NUMBERED = ("sticks", "size_assumed", "not_mentioned", "came", "held", "gone", "left", "blank")


def settled(value: Any, names: dict[str, str]) -> Any:
    """Return a document with the numbers of the sticks as in `names`, and all lists sorted."""
    if isinstance(value, dict):
        return {
            names.get(key, key): _settled(key, held, names) for key, held in sorted(value.items())
        }
    if isinstance(value, list):
        return _sorted([settled(v, names) for v in value])
    return value


def _settled(key: str, held: Any, names: dict[str, str]) -> Any:
    if key == "stick":
        return int(names[str(held)])
    if key in NUMBERED and all(isinstance(v, int) for v in held):
        return sorted(int(names[str(v)]) for v in held)
    if key in ("by_third", "minutes_by_third", "wilson_95", "pace_by_third"):
        rows = [_settled("sticks", v, names) if isinstance(v, list) else v for v in held]
        return [settled(v, names) if isinstance(v, dict) else v for v in rows]
    return settled(held, names)


def _sorted(rows: Sequence[Any]) -> list[Any]:
    return sorted(rows, key=lambda row: json.dumps(row, sort_keys=True))
