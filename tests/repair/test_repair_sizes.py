"""Numbers that recognition writes as they sound: sizes must come out the same however written."""

from __future__ import annotations

import pytest
from ashdraft.model import Heard
from ashdraft.repair import repair
from ashdraft.rules.numbers import read_numbers


def said(text: str) -> str:
    return repair([Heard(0.0, 1.0, text)])[0][0].said


# Sizes are length in inches by ring gauge (trade practice, from memory).
@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("It's 5-5-8 by 46.", "It's 5 5/8 by 46."),
        ("A corona gorda, 5 5 8 by 46.", "A corona gorda, 5 5/8 by 46."),
        ("For and a half inches by fifty.", "Four and a half inches by fifty."),
        ("It is six buy fifty.", "It is six by fifty."),
        ("Six and a quarter bye 54.", "Six and a quarter by 54."),
        ("The ash held an inch in a half.", "The ash held an inch and a half."),
    ],
)
def test_sizes_are_written_as_meant(heard: str, meant: str) -> None:
    assert said(heard) == meant


@pytest.mark.parametrize(
    "text",
    [
        "I bought 5, 5, 8 of them by 46 dollars.",
        "I'd go for and against it.",
        "I paid seven to buy fifty of them.",
        "Call 5-5-8 if you like.",
        "It was 9-5-8 and then 3-9-8 by 46.",
        "It is 6x52 and cost $7.10 a stick.",
    ],
)
def test_sizes_everything_else_is_left_alone(text: str) -> None:
    assert said(text) == text


def test_sizes_read_the_same_however_written() -> None:
    wanted = [5.625, 46.0]
    for text in ("5-5-8 by 46", "five and five eighths by forty-six", "5 5/8 by 46", "5⅝ by 46"):
        values = [n.value for n in read_numbers(said(f"It's a robusto, {text}."))]
        assert [v for v in values if v][-2:] == wanted, text
