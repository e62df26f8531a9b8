"""The sums: against the worked tally of docs/sheet.md, and numpy.average as reference."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from ashdraft.sheet.definition import figure
from ashdraft.tally import tally
from ashdraft.tally.marks import Typed
from ashdraft.tally.sums import add_up, two_decimals
from hypothesis import given, settings
from hypothesis import strategies as st

from .made import DOCS, folder, shelf, type_marks


def worked() -> str:
    text = DOCS.read_text("utf-8")
    return text[text.index("### A worked tally") : text.index("### Questions")]


def rows(text: str, head: str) -> list[list[str]]:
    """The cells of the table under a head, as they stand in the text."""
    found = re.search(rf"^{re.escape(head)}\n\|[ |-]+\n((?:\|.*\n)+)", text, re.M)
    assert found
    return [[c.strip() for c in line.strip("|").split("|")] for line in found[1].splitlines()]


def test_worked_tally_by_hand_is_what_the_program_finds(tmp_path: Path) -> None:
    typed = rows(worked(), "| Section | Criterion | Weight | Mark |")
    assert [(r[1], r[2]) for r in typed] == [(r.name, figure(r.weight)) for r in shelf().rows]
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {r[1]: r[3] for r in typed})
    tally(path)
    head = "| Total of | Rows marked | Weight marked | Total |"
    assert rows(path.read_text("utf-8"), head) == rows(worked(), head)
    type_marks(path, {"Trouble": ""})
    tally(path)
    assert rows(path.read_text("utf-8"), head)[-1][-1] == "3.96 so far"


def test_worked_tally_by_hand_is_sound_arithmetic() -> None:
    sums = re.findall(
        r"(\([\d. ×+\n]+\) / \([\d. +]+\)) = ([\d.]+ / \d+)\s*=\s*([\d.]+\d)", worked()
    )
    assert len(sums) == 5
    for written, shorter, result in sums:
        for side in (written, shorter):
            exact = re.sub(r"[\d.]+", lambda m: f"Fraction('{m[0]}')", side.replace("×", "*"))
            value = eval(exact.replace("\n", " "), {"Fraction": Fraction})
            assert round(float(value), 2) == float(result)  # none lies on a half


@settings(max_examples=40, deadline=None)
@given(st.lists(st.one_of(st.none(), st.integers(0, 10)), min_size=5, max_size=5))
def test_totals_are_weighted_averages(halves: list[int | None]) -> None:
    sheet = shelf()
    typed = {
        row.id: Typed(None if half is None else Fraction(half, 2))
        for row, half in zip(sheet.rows, halves, strict=True)
    }
    sums = add_up(sheet, typed)
    pairs = [(h / 2, r.weight) for r, h in zip(sheet.rows, halves, strict=True) if h is not None]
    if not pairs:
        assert sums.whole.mean is None
        return
    marks, weights = zip(*pairs, strict=True)
    # Reference: numpy.average with weights.
    assert float(sums.whole.mean or 0) == pytest.approx(np.average(marks, weights=weights))
    assert sums.whole.weight == sum(Fraction(w) for w in weights)
    assert sums.whole.marked == sum(s.marked for s in sums.sections) == len(pairs)
    assert sums.whole.complete == (None not in halves)


@pytest.mark.parametrize(
    ("number", "shown"),
    [("6.125", "6.13"), ("6.1249", "6.12"), ("7", "7.00"), ("1/3", "0.33"), ("-1.5", "-1.50"),
     ("0.005", "0.01"), ("1.005", "1.01"), ("2.675", "2.68")],
)  # fmt: skip
def test_halves_are_rounded_upwards_as_written(number: str, shown: str) -> None:
    # 1.005 and 2.675 are the usual examples of what binary fractions round wrongly
    # (Python documentation, round()).
    assert str(two_decimals(Fraction(number))) == shown
