"""Readable cases of facts and marks: fixtures/facts*.txt and marks.txt."""

from __future__ import annotations

import re

import pytest
from ashdraft.rules.facts import read_facts, read_marks

from .cases import Case, lines, placed, read_cases

FACTS = read_cases("facts.txt") + read_cases("facts_settled.txt")
MARKS = read_cases("marks.txt")


def _content(value: object) -> object:
    """A number, or the words of a text without regard to case, order, `and` and `from`."""
    try:
        return round(float(str(value)), 3)
    except ValueError:
        words = re.findall(r"[^\W\d_]+", str(value).lower())
        return frozenset(words) - {"and", "from", "the"}


def _wanted_facts(case: Case) -> dict[str, object]:
    pairs = [p.strip() for line in case.wanted for p in line.split(";") if p.strip() != "nothing"]
    return {name: _content(value) for name, _, value in (p.partition(" ") for p in pairs)}


def _variants(cases: list[Case]) -> list[object]:
    return [
        pytest.param(case, bare, id=f"{case.title}{' bare' if bare else ''}")
        for case in cases
        for bare in (False, True)
        if not (bare and case.written)
    ]


@pytest.mark.parametrize(("case", "bare"), _variants(FACTS))
def test_facts_fixture(case: Case, bare: bool) -> None:
    found = read_facts(lines(case, bare=bare), placed(case, "setup"))
    assert {k: _content(v) for k, v in found.values.items()} == _wanted_facts(case)
    for words in case.checks:
        assert any(words in check.message for check in found.checks), found.checks
    assert case.checks or not found.checks


@pytest.mark.parametrize(("case", "bare"), _variants(MARKS))
def test_marks_fixture(case: Case, bare: bool) -> None:
    wanted: dict[str, tuple[float, float | None]] = {}
    for part in (p.strip() for line in case.wanted for p in line.split(";")):
        if part != "nothing":
            item, _, figure = part.rpartition(" ")
            value, _, scale = figure.partition("/")
            wanted[item] = (float(value), float(scale) if scale else None)
    marks = read_marks(lines(case, bare=bare), placed(case, "verdict"))
    assert {m.item: (m.value, m.scale) for m in marks.last} == wanted


@pytest.mark.parametrize(
    ("said", "earlier"),
    [
        ("Draw, seven out of nine.|Burn, six.|Going back, the draw is an eight.", [("draw", 7, 0)]),
        ("Overall, six out of ten.|No, make it seven.", [("overall", 6, 0)]),
        ("Draw, seven, no, eight, out of ten.", []),
        ("Draw, eight out of ten.|The draw, as I said, eight.", []),
    ],
)
def test_earlier_marks_are_those_a_later_utterance_replaced(
    said: str, earlier: list[tuple[str, float, int]]
) -> None:
    case = Case("", "", tuple(("", line) for line in said.split("|")), (), ())
    found = read_marks(lines(case), placed(case, "verdict")).earlier
    assert [(m.item, m.value, m.utterance) for m in found] == earlier
