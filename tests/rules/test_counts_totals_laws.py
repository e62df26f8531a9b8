"""What holds for any recording whose total is stated outright, or whose running total is repeated.

Laws of the labelling guide (docs/labelling.md): a running total repeats, it does not add; the count
is reconciled with totals and corrections. No outside source.
"""

from __future__ import annotations

from functools import cache

import pytest
from ashdraft.rules.counts import Counted, count_as, find_events

from .cases import Case, lines, placed, read_cases

CASES = [c for c in read_cases("counts.txt") + read_cases("counts_totals.txt") if not c.checks]
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
OFTEN = ("never", "once", "twice", "three times", "four times", "five times", "six times")

WHOLE = (
    "Final count, {touch} and {relight}.",
    "So, all told, {touch}, {relight}.",
    "In total that's {touch} and {relight}.",
    "For the record, {touch} and {relight} on this one.",
    "So the tally for this stick is {touch}, and {relight}.",
    "Altogether I touched it up {touched} and relit it {relit}.",
    "Over the whole stick I touched it up {touched}, and relit it {relit}.",
    "I touched it up {touched} in all, and I relit it {relit}.",
)
RUNNING = (
    "That's {touch} so far.",
    "I've touched it up {touched} so far.",
    "So up to now I've touched it up {touched}.",
    "Still {touch}, no more.",
)


@cache
def _read(case: Case) -> Counted:
    said = lines(case)
    kind = "live" if case.kind == "live" else "narration"
    return count_as(said, placed(case, "burn"), find_events(said), kind)  # type: ignore[arg-type]


def _filled(template: str, counted: Counted) -> str:
    touch, relit = counted.touch_ups.total, counted.relights.total
    return template.format(
        touch=f"{NUMBERS[touch]} touch-up" + "s" * (touch != 1),
        relight=f"{NUMBERS[relit]} relight" + "s" * (relit != 1),
        touched=OFTEN[touch], relit=OFTEN[relit],
    )  # fmt: skip


def _with(case: Case, place: str, *said: str) -> Case:
    spoken = (*case.spoken, *((place, text) for text in said))
    return Case(case.title, case.kind, spoken, case.wanted, case.checks)


def _countable(counted: Counted) -> bool:
    return max(counted.touch_ups.total, counted.relights.total) < len(OFTEN)


@pytest.mark.parametrize("template", WHOLE)
def test_the_true_total_said_outright_at_the_end_keeps_a_right_total(template: str) -> None:
    wrong = []
    for case in CASES:
        before = _read(case)
        if not _countable(before):
            continue
        last = "4" if case.kind == "live" else "-"
        said = _filled(template, before)
        after = _read(_with(case, last, said))
        for name in ("touch_ups", "relights"):
            old, new = getattr(before, name), getattr(after, name)
            if (old.total, old.by_third) != (new.total, new.by_third):
                wrong.append((case.title, said, getattr(after, name)))
    assert not wrong, wrong


@pytest.mark.parametrize("template", WHOLE)
def test_a_total_said_outright_outweighs_whatever_was_told(template: str) -> None:
    wrong = []
    for case in CASES:
        before = _read(case)
        if max(before.touch_ups.total, before.relights.total) + 1 >= len(OFTEN):
            continue
        last = "4" if case.kind == "live" else "-"
        more = template.format(
            touch=f"{NUMBERS[before.touch_ups.total + 2]} touch-ups", relight="two relights",
            touched=OFTEN[min(before.touch_ups.total + 2, 6)], relit="twice",
        )  # fmt: skip
        after = _read(_with(case, last, more))
        if (after.touch_ups.total, after.relights.total) != (before.touch_ups.total + 2, 2):
            wrong.append((case.title, more, after.touch_ups, after.relights))
    assert not wrong, wrong


@pytest.mark.parametrize("template", RUNNING)
def test_a_running_total_said_again_never_adds(template: str) -> None:
    wrong = []
    for case in CASES:
        before = _read(case)
        if case.kind != "live" or not _countable(before) or not before.touch_ups.total:
            continue
        said = _filled(template, before)
        place = case.spoken[-1][0]
        after = _read(_with(case, place, said, said))
        if before.touch_ups.total != after.touch_ups.total or before.events != after.events:
            wrong.append((case.title, said, after.touch_ups))
    assert not wrong, wrong
