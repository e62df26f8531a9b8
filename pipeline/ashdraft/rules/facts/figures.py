"""Which numbers may be marks, and out of how many marks are given."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from ..stream import STOP
from .minutes import find_times

_UNITS = frozenset(
    "minutes minute hours hour inches inch mm cm centimeters millimeters touch relight relights "
    "times puffs puff weeks week days day months sticks stick cigars dollars pounds euros euro "
    "pound francs rand bucks cents veins vein layers wraps bands thirds third degrees grams of "
    "by corrections side sides fingers o'clock seconds notes things words more draws box boxes "
    "per years year pesos rupees crowns in hundred to different big little small good rings "
    "pulls tries matches people fixes x until after before or odd ish times' other cut cuts "
    "each apiece percent away back pack packs".split()
)
_SCALES = (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 50, 100)


_COUNTED = frozenset("people times smokers friends off nights".split())
"""Behind a share these are what it counts."""


_THINGS = re.compile(
    r"(?!(?:across|always|perhaps|this|thus|besides|unless|plus|minus|looks|aromas?|flavou?rs|"
    r"tastes|sounds|seems|stays|does|sits|stands|feels|makes|suits|says|goes|wins|remains|covers|"
    r"holds|marks|his|hers|yours|gets|was|has|its|as|is|us|yes|sums|reflects|it's)$)"
    r"[a-z]{2,}[^s\W\d]s"
)
"""Behind a number a plural is what it counts (`two burritos`), unless it is one of these."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number that could be a mark; `told` where a scale or unit of marks stands with it."""

    value: float
    scale: float | None
    first: int
    end: int
    told: bool


def find_figures(ground: Ground) -> list[Figure]:
    """The numbers that may be marks, in order; lengths of time are none."""
    lasting = {n for time in find_times(ground) for n in range(time.first, time.end)}
    return [f for n in ground.numbers if n.first not in lasting and (f := _reading(ground, n))]


def _reading(ground: Ground, number: Number) -> Figure | None:
    """The mark a number may be, with its scale when that is said."""
    row = ground.row
    value = number.value
    if number.form == "row" and len(set(number.parts)) == 1:
        value = number.parts[0]  # "eighty, eighty-eight" over a cut is not settled, a repeat is
    if value is None or number.form in ("ordinal", "clock") or not 0 <= value <= 100:
        return None
    before = row.said(max(number.first - 3, 0), number.first)
    if before.endswith(("out of", "out of a")):
        return None
    mine = re.search(r"\b(?:my|the|final|one|only|a) number$", before)
    if before.endswith("number") and not mine:
        return None  # "ash number two"
    end, scale = number.end, None
    if number.form == "fraction":
        top, _, below = row.words[number.first].lower.partition("/")
        if not below or int(below) not in _SCALES:
            return None
        value, scale = float(top), float(below)
    at, told = end, False
    unit = "" if end < len(row.words) and row.words[end].gap else row.said(end, end + 1)
    if unit in ("stars", "star", "points", "marks", "point"):
        if re.search(r"\b(?:the|those|these|all|my|of)$", before):
            return None  # "add those five marks"
        at, told = end + 1, True
    elif unit == "percent":
        scale, at = 100.0, end + 1
        if row.said(at, at + 1) in ("more", "less", "off", "humidity", "sweeter"):
            return None
    elif unit in _UNITS and unit not in ("of", "x", "by"):
        return None
    if out := _out_of(ground, at, value):
        scale, at = out
    elif unit in ("of", "x", "by"):
        return None
    told = told or scale is not None
    if told and row.said(at, at + 1) in _COUNTED:
        return None  # "nine out of ten people"
    if (number.form == "one" or value == 1) and not told:
        return None
    return Figure(value, scale, number.first, max(at, end), told)


def _out_of(ground: Ground, at: int, value: float) -> tuple[float, int] | None:
    """The scale behind a figure: `out of ten`, `of twenty`, `from five`."""
    row = ground.row
    if row.said(at + 1, at + 3) == "out of" and row.words[at + 1].gap < STOP:
        at += 1  # "three corks out of five"
    for first, end, match in row.find(pattern(r"out of|from|of|over"), at, at + 4):
        number = ground.starts.get(end)
        if first != at or number is None or number.value not in _SCALES:
            continue
        whole = match[0] == "of" and number.value == value  # "three of three" is a place
        if number.value is not None and number.value >= value and not whole:
            unit = row.said(number.end, number.end + 1)
            if match[0].startswith("out") or unit not in _UNITS:
                return number.value, number.end
    return None


def counts_things(ground: Ground, figure: Figure) -> bool:
    """`two burritos`: a number of things, where a mark for the same item was said before."""
    row = ground.row
    gap = figure.end >= len(row.words) or row.words[figure.end].gap > 0
    thing = _THINGS.fullmatch(row.said(figure.end, figure.end + 1))
    return not (gap or figure.told) and thing is not None


def common_scale(ground: Ground, figures: Sequence[Figure]) -> float | None:
    """The scale of the recording: the one said with the marks, or in so many words."""
    said: defaultdict[float, float] = defaultdict(float)
    for figure in figures:
        percent = ground.row.words[figure.end - 1].lower == "percent"  # as often a humidity
        if figure.scale is not None and not percent:
            said[figure.scale] += 1
    row = ground.row
    words = pattern(
        r"out of|(?:mark|marks|score|rate|marking|scoring) (?:to|from|on|over)|scale (?:of|to|"
        r"is|from one to|of one to|from zero to)|one to|zero to"
    )
    about = pattern(
        r"scores?|scoring|scored?|marks?|marking|stars?|ratings?|rate|numbers?|points?|scale|do it|"
        r"doing it|ladles"
    )
    best = pattern(
        r"(?:[^ ]+ )?(?:is|being|'s|are) (?:the )?(?:perfect|best|top|full|maximum|most|"
        r"highest|ceiling)"
    )
    for number in ground.numbers:
        top = any(a == number.end for a, _, _ in row.find(best, number.end, number.end + 6))
        if top and number.value in _SCALES:
            said[float(number.value or 0)] += 1
    for first, end, match in row.find(words):
        scale = ground.starts.get(end)
        if scale is None or scale.value is None or scale.value not in _SCALES:
            continue
        near = any(True for _ in row.find(about, max(first - 12, 0), min(end + 8, len(row.words))))
        unit = row.said(scale.end, scale.end + 1) in _UNITS
        if near or (match[0].startswith("out of") and not unit and scale.value >= 5):
            said[scale.value] += 1
    return max(said, key=lambda scale: said[scale]) if said else None
