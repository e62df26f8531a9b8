"""What may be typed into a cell. Every ambiguous one is refused; no outside standard exists."""

from __future__ import annotations

from fractions import Fraction

import pytest
from ashdraft.sheet.definition import Scale
from ashdraft.tally.marks import DASHES, Typed, Unread, read_mark
from hypothesis import example, given, settings
from hypothesis import strategies as st

NINE = Scale(1, 9, 1)
HALVES = Scale(0, 5, 0.5)
BELOW = Scale(-3, 3, 1)


@pytest.mark.parametrize(
    ("cell", "scale", "mark", "comment"),
    [
        ("7", NINE, 7, ""),
        (" 7 ", NINE, 7, ""),
        ("07", NINE, 7, ""),
        ("7.0", NINE, 7, ""),
        ("7.", NINE, 7, ""),
        ("7\u00a0\u200b", NINE, 7, ""),
        ("７", NINE, 7, ""),
        ("٧", NINE, 7, ""),
        ("４．５", HALVES, Fraction(9, 2), ""),
        ("4½", HALVES, Fraction(9, 2), ""),
        ("0", HALVES, 0, ""),
        ("7 slow to start", NINE, 7, "slow to start"),
        ("7, slow, then even", NINE, 7, "slow, then even"),
        ("7 - slow", NINE, 7, "- slow"),
        ("7 (band)", NINE, 7, "(band)"),
        ("7 of course", NINE, 7, "of course"),
        ("-3", BELOW, -3, ""),
        ("−3", BELOW, -3, ""),
        ("－３ too sweet", BELOW, -3, "too sweet"),
    ],
)
def test_mark_is_read(cell: str, scale: Scale, mark: Fraction, comment: str) -> None:
    assert read_mark(cell, scale) == Typed(Fraction(mark), comment=comment)


@pytest.mark.parametrize("cell", ["", "  ", "\u200b", "\u00a0"])
def test_mark_blank_is_not_marked(cell: str) -> None:
    assert read_mark(cell, NINE) == Typed()


@pytest.mark.parametrize("dash", [*DASHES, "--", "—-"])
def test_mark_dash_is_not_judged(dash: str) -> None:
    assert read_mark(dash, NINE) == Typed(dashed=True)
    assert read_mark(f"{dash} no nose today", NINE) == Typed(dashed=True, comment="no nose today")


@pytest.mark.parametrize(
    ("cell", "what"),
    [
        ("4,5", "comma"), ("4，5", "comma"), ("-4,5", "comma"), (",5", "begin"), (".5", "begin"),
        ("10", "off the scale"), ("0", "off the scale"), ("7.5", "no step"), ("8½", "no step"),
        ("-7", "off the scale"), ("–7", "could be part"), ("- 7", "could be part"),
        ("7/9", "runs into"), ("7 / 9", "could be part"), ("7-8", "runs into"),
        ("7 – 8", "could be part"), ("7 or 8", "could be part"), ("7 of 9", "could be part"),
        ("7 out of 10", "could be part"), ("7+", "runs into"), ("7 +", "could be part"),
        ("7?", "runs into"), ("~7", "begin"), ("+7", "begin"), ("70%", "runs into"),
        ("7 %", "could be part"), ("7e1", "runs into"), ("7th", "runs into"),
        ("7 8", "could be part"),
        ("7. 8", "could be part"), ("7.5.1", "no step"), ("7 and a half", "could be part"),
        ("7 point 5", "could be part"), ("7 ½", "could be part"), ("seven", "begin"),
        ("(7)", "begin"),
        ("[7]", "begin"), ("²", "begin"), ("9" * 5000, "begin"), ("7.1234567891", "runs into"),
        ("7 or eight", "could be part"), ("7 to an eight", "could be part"),
        ("7 point five", "could be part"), ("7 plus", "could be part"),
        ("7 minus, no ash", "could be part"),
        ("<b>7</b>", "begin"), ("1 000", "could be part"), ("4,555", "could be part"),
    ],
)  # fmt: skip
def test_mark_of_two_meanings_is_refused_and_says_what_to_type(cell: str, what: str) -> None:
    with pytest.raises(Unread, match=what) as caught:
        read_mark(cell, NINE)
    assert caught.value.say.startswith("Type ")


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=12))
@example("7\u0301")
@example("٧٧")
def test_mark_any_text_is_read_or_refused_and_lies_on_the_scale(cell: str) -> None:
    for scale in (NINE, HALVES, BELOW):
        try:
            typed = read_mark(cell, scale)
        except Unread:
            continue
        assert typed.mark is None or scale.holds(typed.mark)
        assert not (typed.dashed and typed.mark is not None)
        assert typed != Typed() or not any(c.isalnum() for c in cell)


@settings(max_examples=40, deadline=None)
@given(st.integers(-20, 20), st.integers(1, 30), st.sampled_from(["1", "0.5", "0.25", "0.1", "2"]))
def test_mark_every_step_of_any_scale_is_read_exactly(low: int, steps: int, step: str) -> None:
    width = Fraction(step)
    scale = Scale(low, float(low + steps * width), float(step))
    for n in range(steps + 1):
        mark = low + n * width
        written = f"{float(mark):.12g}"
        assert read_mark(written, scale).mark == mark
    with pytest.raises(Unread):
        read_mark(f"{float(low + (steps + 1) * width):.12g}", scale)
    with pytest.raises(Unread):
        read_mark(f"{float(low + width / 2):.12g}", scale)
