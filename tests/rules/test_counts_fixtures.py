"""Readable cases of events and counts: fixtures/counts.txt and counts_totals.txt."""

from __future__ import annotations

import re

import pytest
from ashdraft.rules.counts import count_as, find_events

from .cases import Case, lines, placed, read_cases

CASES = read_cases("counts.txt") + read_cases("counts_totals.txt")
VARIANTS = [
    pytest.param(case, bare, id=f"{case.title}{' bare' if bare else ''}")
    for case in CASES
    for bare in (False, True)
    if not (bare and case.written)
]


def _wanted(case: Case, name: str) -> str | None:
    found = [w.removeprefix(name).strip() for w in case.wanted if w.split()[0] == name]
    return found[0] if found else None


@pytest.mark.parametrize(("case", "bare"), VARIANTS)
def test_counts_fixture(case: Case, bare: bool) -> None:
    said = lines(case, bare=bare)
    counted = count_as(
        said,
        placed(case, "burn"),
        find_events(said),
        "live" if case.kind == "live" else "narration",
    )
    for name, found in (("touch_ups", counted.touch_ups), ("relights", counted.relights)):
        numbers = [int(n) for n in re.findall(r"\d+", _wanted(case, name) or "0 0 0")]
        assert found.by_third == tuple(numbers[:3]), name
        assert found.total == (numbers[3] if len(numbers) > 3 else sum(numbers[:3])), name
    events = _wanted(case, "events")
    if events is not None:
        wanted = [tuple(e.split()) for e in events.split(",") if e.strip()]
        assert [(str(e.utterance + 1), e.kind) for e in counted.events] == wanted
    for words in case.checks:
        assert any(words in check.message for check in counted.checks), counted.checks
