"""Numbers in figures where the trade writes figures: sizes, prices, percent, measures, marks.

A number that stands in none of these places, or that can be read in two ways, stays in words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from ..rules.numbers import Number, read_numbers

SIGNS = {"dollar": "$", "pound": "£", "euro": "€"}

_MONEY = re.compile(r" (dollar|pound|euro)s?\b(?! and a)", re.IGNORECASE)
_PERCENT = re.compile(r" (?:percent|per cent)\b", re.IGNORECASE)
_MEASURE = re.compile(
    r"[ -](?:inch|inches|mm|millimet(?:re|er)s?|cm|centimet(?:re|er)s?|minutes?|grams?|degrees?"
    r"|francs?|rand|rupees|crowns|pesos|bucks|quid|ring)\b",
    re.IGNORECASE,
)
_RING_BEFORE = re.compile(
    r"(?:\bring(?: gauge)?(?:,| is| of)?|\binch(?:es)?(?: long)?,? by) $", re.IGNORECASE
)
_SMALLEST_RING, _LARGEST_RING = 20, 80
_AND_A_PART = re.compile(r" and (?:a|an|three) ")
_HOURS = re.compile(r"\bhours?(?: and)? $", re.IGNORECASE)
_SHORTEST, _LONGEST = 2, 12
"""What passes for the ring gauge and the length in inches of a size."""


@dataclass(frozen=True, slots=True)
class _Change:
    start: int
    stop: int
    figures: str


def in_figures(text: str) -> str:
    """Return `text` with unambiguous sizes, prices, percentages, measures and marks in figures."""
    for change in sorted(_changes(text), key=lambda c: -c.start):
        text = text[: change.start] + change.figures + text[change.stop :]
    return text


def _changes(text: str) -> Iterator[_Change]:
    numbers = [n for n in read_numbers(text) if n.form not in ("ordinal", "one", "clock")]
    done: set[int] = set()
    for n, pair in enumerate(pairwise(numbers)):
        change = None if n in done else _pair(text, *pair)
        if change:
            done |= {n, n + 1}
            yield change
    for n, number in enumerate(numbers):
        if n not in done and (change := _single(text, number)):
            yield change


def _pair(text: str, first: Number, second: Number) -> _Change | None:
    """A size (`five and a half by forty-six`), a price in two parts, a mark out of a scale."""
    between = text[first.stop : second.start].lower()
    if first.value is None or second.value is None:
        return None
    if between == " by " and _is_size(first, second):
        return _Change(first.start, second.stop, f"{_inches(first)} × {second.value:g}")
    if between == " out of " and first.value <= second.value and _plain(second):
        return _Change(first.start, second.stop, f"{first.value:g} out of {second.value:g}")
    money = re.fullmatch(r" (dollar|pound|euro)s?(?: and)? ", between)
    if money and _plain(first) and _plain(second) and 10 <= second.value < 100:
        sign = SIGNS[money[1]]
        cents = re.match(r" (?:cents|pence)\b", text[second.stop :])
        if "and" in between and not cents:
            return None
        stop = second.stop + (cents.end() if cents else 0)
        return _Change(first.start, stop, f"{sign}{first.value:.0f}.{second.value:.0f}")
    return None


def _single(text: str, number: Number) -> _Change | None:
    """A number that its unit, or the ring gauge before it, shows to be a measure."""
    if number.value is None or number.form == "fraction":
        return None
    figures = _inches(number)
    after = text[number.stop :]
    if number.form == "decimal":
        return _changed(text, number, figures)
    if (money := _MONEY.match(after)) and _plain(number) and not _said_twice(after, money.end()):
        return _Change(number.start, number.stop + money.end(), SIGNS[money[1].lower()] + figures)
    if percent := _PERCENT.match(after):
        return _Change(number.start, number.stop + percent.end(), f"{number.value:g}%")
    if (measure := _MEASURE.match(after)) and number.value != 1:
        said_on = _AND_A_PART.match(after, measure.end()) or _HOURS.search(text[: number.start])
        return None if said_on else _changed(text, number, figures)
    if _RING_BEFORE.search(text[: number.start]) and _is_ring(number):
        return _changed(text, number, figures)
    return None


def _changed(text: str, number: Number, figures: str) -> _Change | None:
    """None where the number is in figures already."""
    digits = any(c.isdigit() for c in text[number.start : number.stop])
    return None if digits else _Change(number.start, number.stop, figures)


def _said_twice(after: str, end: int) -> bool:
    """True where a number follows that may belong to the price: it then stays as it is."""
    following: Sequence[Number] = read_numbers(after[end : end + 40])
    return bool(following) and not after[end : end + following[0].start].strip(" ")


def _inches(number: Number) -> str:
    """A number as sizes are written: `5 1/2`, `6 1/8`, `4.75`."""
    if number.form != "mixed":
        return f"{number.value:g}"
    exact = Fraction(number.value or 0).limit_denominator(64)
    whole, rest = divmod(exact, 1)
    return f"{whole} {rest}" if rest else str(whole)


def _is_size(length: Number, ring: Number) -> bool:
    return _is_ring(ring) and _SHORTEST <= (length.value or 0) <= _LONGEST


def _is_ring(number: Number) -> bool:
    return _plain(number) and _SMALLEST_RING <= (number.value or 0) <= _LARGEST_RING


def _plain(number: Number) -> bool:
    return number.form == "whole"
