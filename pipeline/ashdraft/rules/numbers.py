"""Spoken numbers: a small grammar over text2num for the forms it leaves alone.

`five and a half`, `six and an eighth`, `two point five`, `half a dozen`, `5 5/8`, `5½`,
`twelve seventy-five`. Whole numbers in words are read by text2num. What can be read in more
than one way keeps its parts and no value: a wrong number is worse than one left in words.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from .stream import Word, split_words

Form = Literal["whole", "decimal", "fraction", "mixed", "ordinal", "row", "clock", "one"]

LONGEST = 12
"""Words of the longest whole number that is read, and the most numbers in a row."""

INCH_MM = 25.4
"""One inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""

UNITS = (
    "zero nought one two three four five six seven eight nine ten eleven twelve thirteen "
    "fourteen fifteen sixteen seventeen eighteen nineteen"
).split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
LARGE = ("hundred", "thousand", "million")
_CARDINAL = frozenset(UNITS) | frozenset(TENS) | frozenset(LARGE)
ORDINALS = {
    word: n
    for n, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth "
        "thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth "
        "twentieth".split(),
        start=1,
    )
}
_DENOMINATORS = {
    "half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourths": 4,
    "fifths": 5, "sixths": 6, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10,
    "sixteenth": 16, "sixteenths": 16, "32nds": 32,
}  # fmt: skip
_SIGNS = {
    "½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅓": Fraction(1, 3),
    "⅔": Fraction(2, 3), "⅛": Fraction(1, 8), "⅜": Fraction(3, 8), "⅝": Fraction(5, 8),
    "⅞": Fraction(7, 8),
}  # fmt: skip
_NOT_COUNTED = frozenset(
    "this that the other another each every which any some no next last new old big small good "
    "bad right wrong same only white black brown".split()
)
_FIGURE = re.compile(r"(\d{1,3}(?:,\d{3})+|\d+)([.,]\d+)?$")
_CLOCK = re.compile(r"\d{1,2}:\d\d$")


@dataclass(frozen=True, slots=True)
class Number:
    """A number in a row of words: words `first` up to `end`, characters `start` to `stop`.

    `value` is None where the form alone does not settle it: a `row` ("seven ninety" is 7.90,
    790, or 7 by 90) or a `clock` time. `parts` are the whole numbers said in a row, or the one
    value. `start` counts in the line of the first word, `stop` in the line of the last.
    """

    value: float | None
    first: int
    end: int
    start: int
    stop: int
    form: Form
    parts: tuple[float, ...]

    def amounts(self) -> tuple[float, ...]:
        """The sums of money it may mean, likeliest first: 7.90 and 790 for "seven ninety"."""
        if self.value is not None:
            return (self.value,) if self.form not in ("ordinal", "clock") else ()
        return _amounts(self.parts) if self.form == "row" else ()

    @property
    def figures(self) -> str | None:
        """The number in figures ("5.5", "120", "5 5/8"), None where it has no value."""
        if self.value is None or self.form in ("ordinal", "one"):
            return None
        exact = Fraction(self.value).limit_denominator(64)
        if self.form in ("fraction", "mixed") and exact.denominator in (3, 4, 8, 16):
            whole, rest = divmod(exact, 1)
            return f"{whole} {rest}" if whole else str(rest)
        return f"{self.value:.10g}"


@lru_cache(maxsize=4096)
def _whole(words: tuple[str, ...]) -> int | None:
    """The whole number that these words say, None when they say none."""
    from text_to_num import text2num

    try:
        return int(text2num(" ".join(w for w in words if w != "a"), "en"))
    except ValueError:
        return None


def _amounts(parts: tuple[float, ...]) -> tuple[float, ...]:
    whole = [int(p) for p in parts]
    if any(p != w for p, w in zip(parts, whole, strict=True)) or not whole[0]:
        return ()
    if len(whole) == 3 and whole[1] == 0 and 0 < whole[2] < 10:  # "twelve oh five"
        return (whole[0] + whole[2] / 100, whole[0] * 100 + whole[2])
    if len(whole) == 2 and 10 <= whole[1] < 100:  # "seven ninety", "twelve fifty"
        pair = whole[0] + whole[1] / 100
        return (pair, whole[0] * 100 + whole[1]) if whole[0] < 100 else (pair,)
    if len(whole) == 3 and 0 < whole[0] < 10 and all(10 <= p < 100 for p in whole[1:]):
        return (whole[0] * 100 + whole[1] + whole[2] / 100,)  # "one ninety nine ninety nine"
    return ()


class _Reader:
    """Reads one number at a time from a row of words."""

    def __init__(self, words: Sequence[Word]) -> None:
        self.words = words
        self.lower = [w.lower for w in words]

    def near(self, at: int) -> bool:
        """True when word `at` exists and follows the one before it without a break."""
        return at < len(self.words) and not self.words[at].gap and not self.words[at].hesitant

    def word(self, at: int) -> str:
        return self.lower[at] if self.near(at) else ""

    def whole(self, at: int) -> tuple[int, int] | None:
        """A whole number in words from `at`: (value, end). The longest that text2num reads."""
        end = at
        joined: list[str] = []
        if self.lower[at] == "a":
            if self.word(at + 1) not in LARGE:
                return None
            joined, end = ["a"], at + 1
        while end < min(len(self.words), at + LONGEST) and (end == at or self.near(end)):
            word = self.lower[end]
            if word == "and":
                if not (joined and joined[-1] in LARGE and self.word(end + 1) in _CARDINAL):
                    break
            elif word not in _CARDINAL:
                break
            joined.append(word)
            end += 1
            if word in ("zero", "nought"):
                break
            if word == "hundred" and at > 1 and self.lower[at - 2 : at] == ["out", "of"]:
                break  # "out of a hundred | sixty-one"
        for size in range(len(joined), 0, -1):
            value = _whole(tuple(joined[:size]))
            if value is not None and joined[size - 1] != "and":
                return value, at + size
        return None

    def figure(self, at: int) -> tuple[Fraction, int] | None:
        match = _FIGURE.match(self.lower[at])
        if not match:
            return None
        decimals = (match[2] or "").replace(",", ".")
        return Fraction(match[1].replace(",", "") + decimals), at + 1

    def fraction(self, at: int) -> tuple[Fraction, int] | None:
        """`three quarters`, `a half`, `an eighth`, `7/8`, `½` from `at`."""
        if at >= len(self.words):
            return None
        word = self.lower[at]
        if word in _SIGNS:
            return _SIGNS[word], at + 1
        if match := re.fullmatch(r"(\d+(?:\.\d+)?)/([1-9]\d*)", word):
            return Fraction(match[1]) / int(match[2]), at + 1
        if word in ("half", "quarter"):
            return Fraction(1, _DENOMINATORS[word]), at + 1
        top: int | None = 1 if word in ("a", "an") else None
        end = at + 1
        if top is None and word in _CARDINAL and (read := self.whole(at)):
            top, end = read
        elif top is None and word.isdecimal():
            top = int(word)
        below = _DENOMINATORS.get(self.word(end))
        if not top or not below or top >= below * 4:
            return None
        return Fraction(top, below), end + 1

    def decimals(self, at: int) -> tuple[str, int]:
        """The digits after `point`: `five` -> 5, `seven five` -> 75, `seventy five` -> 75."""
        digits, end = "", at
        while self.near(end) and len(digits) < 6:
            word = self.lower[end]
            if word in ("oh", "o"):
                digits, end = digits + "0", end + 1
            elif word.isdecimal():
                digits, end = digits + word, end + 1
            elif (read := self.whole(end)) and read[0] < 100 and (read[0] < 10 or not digits):
                digits, end = digits + str(read[0]), read[1]
            else:
                break
        return digits, end

    def number(self, at: int) -> Number | None:
        """The number that begins at word `at`."""
        if clock := self.clock(at):
            return self.made(None, at, clock, "clock", ())
        word = self.lower[at]
        if word in TENS and ORDINALS.get(self.word(at + 1), 99) < 10:
            tens = 10 * (TENS.index(word) + 2)
            return self.made(float(tens + ORDINALS[self.word(at + 1)]), at, at + 2, "ordinal")
        if word == "point" or (word in ("zero", "nought", "oh") and self.word(at + 1) == "point"):
            digits, end = self.decimals(at + (1 if word == "point" else 2))
            return self.made(float(f"0.{digits}"), at, end, "decimal") if digits else None
        if dozen := self.dozen(at):
            return self.made(float(dozen[0]), at, dozen[1], "whole")
        read = self.figure(at) or self.whole(at)
        if read is None:
            return self.apart(at)
        value, end = read
        if self.word(end) == "point":
            digits, after = self.decimals(end + 1)
            if digits:
                return self.made(float(f"{value}.{digits}"), at, after, "decimal")
        if mixed := self.tail(end):
            return self.made(float(value + mixed[0]), at, mixed[1], "mixed")
        if self.word(end) in _DENOMINATORS and (alone := self.fraction(at)):
            return self.made(float(alone[0]), at, alone[1], "fraction")
        if word == "one" and end == at + 1 and self.lone_one(at):
            return self.made(1.0, at, end, "one")
        return self.row(at, end, float(value)) or self.made(
            float(value), at, end, "whole" if value == int(value) else "decimal"
        )

    def apart(self, at: int) -> Number | None:
        """A fraction or an ordinal that stands alone."""
        word = self.lower[at]
        alone = self.fraction(at)
        if alone and not (word in ("a", "an") and self.lower[alone[1] - 1] in ("third", "fifth")):
            return self.made(float(alone[0]), at, alone[1], "fraction")
        if word in ORDINALS:
            return self.made(float(ORDINALS[word]), at, at + 1, "ordinal")
        if match := re.fullmatch(r"(\d+)(?:st|nd|rd|th)", word):
            return self.made(float(match[1]), at, at + 1, "ordinal")
        return None

    def tail(self, at: int) -> tuple[Fraction, int] | None:
        """A fraction after a whole number: `and a half`, `and three quarters`, `5/8`, `½`."""
        word = self.word(at)
        if word == "and":
            return self.fraction(at + 1) if self.near(at + 1) else None
        if word in _SIGNS or re.fullmatch(r"\d+/[1-9]\d*", word):
            return self.fraction(at)
        if word in _CARDINAL and (part := self.fraction(at)) and part[0] < 1:
            return part  # "five five eighths"
        return None

    def row(self, at: int, end: int, value: float) -> Number | None:
        """Whole numbers said one after another: `twelve seventy-five`."""
        parts = [value]
        if at > 1 and self.lower[at - 1] == "of" and self.lower[at - 2] in _HOLDERS:
            return None  # "a box of ten, one thousand four hundred", "out of a hundred, sixty-one"
        while self.near(end) and len(parts) < LONGEST:
            word = self.lower[end]
            if word in ("oh", "o") and self.word(end + 1) in UNITS:
                parts.append(0.0)
                end += 1
                continue
            read = self.whole(end)
            if read is None or self.tail(read[1]) or self.word(read[1]) in ("point",):
                break
            parts.append(float(read[0]))
            end = read[1]
        return self.made(None, at, end, "row", tuple(parts)) if len(parts) > 1 else None

    def dozen(self, at: int) -> tuple[int, int] | None:
        words = self.lower[at : at + 1] + [self.word(n) for n in range(at + 1, at + 3)]
        if words[:1] == ["half"] and "dozen" in words[1:]:
            return 6, at + 1 + words[1:].index("dozen") + 1
        if words[:2] == ["a", "dozen"]:
            return 12, at + 2
        if words[1:2] == ["dozen"] and (read := self.whole(at)):
            return 12 * read[0], at + 2
        return None

    def clock(self, at: int) -> int | None:
        """The end of a time of day: `ten to six`, `half past three`, `7:30`, `six o'clock`."""
        word = self.lower[at]
        if _CLOCK.match(word):
            return at + 1
        minutes = at + 1 if word in ("half", "quarter", "five", "ten", "twenty") else None
        if word == "twenty" and self.word(at + 1) == "five":
            minutes = at + 2
        if word in _CARDINAL and (said := self.whole(at)) and self.word(said[1]) == "minutes":
            minutes = said[1] + 1
        if minutes and self.word(minutes) in ("past", "to", "till", "after"):
            hour = self.whole(minutes + 1) if self.near(minutes + 1) else None
            scale = at > 0 and self.lower[at - 1] in ("of", "from", "scale")
            if hour and 1 <= hour[0] <= 12 and not scale and self.word(hour[1]) not in _TAKEN:
                return hour[1]
            if self.word(minutes) in ("past", "till") and not (hour and hour[0] <= 12):
                return minutes + 1
        read = self.whole(at) if word in _CARDINAL else None
        if read and self.word(read[1]) == "o'clock":
            return read[1] + 1
        return None

    def lone_one(self, at: int) -> bool:
        """True for the pronoun: `this one`, `one of the best`, `the first one`."""
        before = self.lower[at - 1] if at and self.near(at) else ""
        return (
            before in _NOT_COUNTED or before in ORDINALS or self.word(at + 1) in ("of", "by", "'s")
        )

    def made(
        self, value: float | None, at: int, end: int, form: Form, parts: tuple[float, ...] = ()
    ) -> Number:
        said = parts or ((value,) if value is not None else ())
        return Number(value, at, end, self.words[at].start, self.words[end - 1].stop, form, said)


_HOLDERS = frozenset("out box boxes bundle bundles pack packs tin tins cabinet jar".split())
_STARTS = (
    _CARDINAL | frozenset(ORDINALS) | frozenset(_SIGNS) | {"a", "an", "half", "quarter", "point"}
    | {"oh"}
)  # fmt: skip
_TAKEN = frozenset("minutes minute hours days weeks months percent inches inch puffs".split())
"""After these the second number of "ten to twelve" is a measure and not the hour."""


def find_numbers(words: Sequence[Word]) -> tuple[Number, ...]:
    """The numbers in a row of words, in order, none inside another."""
    reader = _Reader(words)
    found: list[Number] = []
    at = 0
    while at < len(words):
        lower = reader.lower[at]
        if lower not in _STARTS and not lower[0].isdigit():
            at += 1
            continue
        number = reader.number(at)
        if number:
            found.append(number)
        at = number.end if number else at + 1
    return tuple(found)


def read_numbers(text: str) -> tuple[Number, ...]:
    """The numbers in one text; `start` and `stop` are offsets in it."""
    return find_numbers(split_words(text))


@dataclass(frozen=True, slots=True)
class Length:
    """A length: words `first` up to `end`. `inches` is exact where inches were said."""

    inches: float
    unit: Literal["in", "mm", "cm"]
    said: float
    first: int
    end: int


_UNIT: dict[str, Literal["in", "mm", "cm"]] = {
    "inch": "in", "inches": "in", "in": "in", "mm": "mm", "millimeter": "mm",
    "millimeters": "mm", "mil": "mm", "mils": "mm", "cm": "cm", "centimeter": "cm",
    "centimeters": "cm", "cms": "cm",
}  # fmt: skip


def find_lengths(words: Sequence[Word], numbers: Sequence[Number]) -> tuple[Length, ...]:
    """The numbers that are followed by a unit of length (`five inches and a half` too)."""
    reader = _Reader(words)
    found = []
    for number in numbers:
        if number.value is None or number.form in ("ordinal", "clock", "one"):
            continue
        at = number.end + (reader.word(number.end) in ("a", "an", "of"))
        at += reader.word(at) in ("a", "an")
        unit = _UNIT.get(reader.word(at))
        if unit is None or (unit == "in" and reader.word(at) == "in" and number.form == "whole"):
            continue
        value, end = Fraction(number.value).limit_denominator(10000), at + 1
        if reader.word(end) == "and" and (rest := reader.tail(end)) and rest[0] < 1:
            value, end = value + rest[0], rest[1]
        per = {
            "in": Fraction(1),
            "mm": 1 / Fraction(str(INCH_MM)),
            "cm": 10 / Fraction(str(INCH_MM)),
        }[unit]
        found.append(Length(float(value * per), unit, float(value), number.first, end))
    return tuple(found)
