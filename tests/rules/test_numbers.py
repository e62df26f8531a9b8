"""Spoken numbers: forms, readings, places in the text, and a round trip through spelling."""

from __future__ import annotations

import pytest
from ashdraft.rules.numbers import INCH_MM, find_lengths, read_numbers
from ashdraft.rules.stream import split_words
from hypothesis import given
from hypothesis import strategies as st

UNITS = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()


def spell(number: int) -> str:
    """English words of 0 to 999,999, as said in Britain ("a hundred and two" as "one hundred")."""
    if number < 20:
        return UNITS[number]
    if number < 100:
        tens, ones = divmod(number, 10)
        return TENS[tens - 2] + (f"-{UNITS[ones]}" if ones else "")
    if number < 1000:
        hundreds, rest = divmod(number, 100)
        return f"{UNITS[hundreds]} hundred" + (f" and {spell(rest)}" if rest else "")
    thousands, rest = divmod(number, 1000)
    joint = " and " if 0 < rest < 100 else " "
    return f"{spell(thousands)} thousand" + (f"{joint}{spell(rest)}" if rest else "")


# The table of spoken numbers measured on other packages (project references, section 5).
TABLE = [
    ("five and a half by fifty", [5.5, 50]),
    ("six by fifty two", [6, 52]),
    ("six and an eighth by fifty two", [6.125, 52]),
    ("four and seven eighths inches", [4.875]),
    ("sixty nine percent", [69]),
    ("two point five inches", [2.5]),
    ("a hundred and twenty minutes", [120]),
    ("seven dollars and ninety cents", [7, 90]),
]


@pytest.mark.parametrize(("said", "wanted"), TABLE)
def test_numbers_reads_the_reference_table(said: str, wanted: list[float]) -> None:
    assert [n.value for n in read_numbers(said)] == wanted


@pytest.mark.parametrize(
    ("said", "amounts"),
    [
        ("seven ninety", (7.9, 790)),
        ("nineteen ninety nine", (19.99, 1999)),
        ("one ninety nine ninety nine", (199.99,)),
        ("twelve seventy-five", (12.75, 1275)),
        ("three hundred twelve fifty", (312.5,)),
        ("twelve oh five", (12.05, 1205)),
    ],
)
def test_numbers_leaves_a_row_open(said: str, amounts: tuple[float, ...]) -> None:
    (number,) = read_numbers(said)
    assert number.value is None
    assert number.figures is None
    assert number.amounts() == amounts


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("half a dozen", 6), ("two dozen", 24), ("a dozen", 12), ("point five", 0.5),
        ("5½", 5.5), ("5 5/8", 5.625), ("5-5/8", 5.625), ("four and half", 4.5),
        ("five five eighths", 5.625), ("three quarters", 0.75), ("seven eighths", 0.875),
        ("fourteen point one", 14.1), ("six point two five", 6.25), ("1,400", 1400),
        ("a thousand", 1000), ("seventy-six and two thirds", 76 + 2 / 3), ("twenty-first", 21),
    ],
)  # fmt: skip
def test_numbers_reads_other_forms(said: str, value: float) -> None:
    (number,) = read_numbers(said)
    assert number.value == pytest.approx(value)
    assert said[number.start : number.stop] == said


@pytest.mark.parametrize(
    "said", ["half past three", "ten to six", "7:30", "seven minutes past six", "quarter to nine"]
)
def test_numbers_takes_a_time_of_day_for_no_number(said: str) -> None:
    (number,) = read_numbers(said)
    assert (number.form, number.value, number.amounts()) == ("clock", None, ())


@pytest.mark.parametrize("said", ["one of the best", "this one", "the first one"])
def test_numbers_knows_the_pronoun_one(said: str) -> None:
    assert all(n.form in ("one", "ordinal") and n.figures is None for n in read_numbers(said))


def test_numbers_does_not_join_over_a_break() -> None:
    assert [n.value for n in read_numbers("forty, six")] == [40, 6]
    assert [n.value for n in read_numbers("four, um, five")] == [4, 5]


@given(st.integers(0, 999_999))
def test_numbers_round_trip(number: int) -> None:
    (read,) = read_numbers(spell(number))
    assert read.value == number
    assert read.figures == str(number) or (number == 1 and read.form in ("one", "whole"))


@given(st.integers(1, 99), st.sampled_from([1, 3, 5, 7]))
def test_numbers_round_trip_eighths(whole: int, top: int) -> None:
    eighth = "eighth" if top == 1 else "eighths"
    (read,) = read_numbers(f"{spell(whole)} and {UNITS[top]} {eighth}")
    assert read.value == whole + top / 8


@given(st.text(max_size=400))
def test_numbers_never_crashes_and_keeps_its_place(text: str) -> None:
    for number in read_numbers(text):
        assert 0 <= number.start < number.stop <= len(text)
        assert number.first < number.end


@pytest.mark.parametrize(
    ("said", "inches", "unit"),
    [
        ("five inches and a half", 5.5, "in"), ("a hundred and twenty-seven millimetres", 5, "mm"),
        ("twelve point seven centimetres", 5, "cm"), ("one eighth of an inch", 0.125, "in"),
        ("6.5 in", 6.5, "in"), ("140 mm", 140 / 25.4, "mm"),
    ],
)  # fmt: skip
def test_lengths_in_inches(said: str, inches: float, unit: str) -> None:
    words = split_words(said)
    (length,) = find_lengths(words, read_numbers(said))
    assert (length.inches, length.unit) == (pytest.approx(inches), unit)


def test_lengths_use_the_international_inch() -> None:
    # 1 inch = 25.4 mm exactly: international yard and pound agreement, 1959
    assert INCH_MM == 25.4
