"""Boxes of cigars a price may be for, and how many each holds."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..ground import Ground
from ..numbers import UNITS, Number
from ..phrases import pattern
from ..stream import STOP

_STORED = frozenset("my his her our 's old new other big small each two your same wine".split())
"""Before `box` these make it the place where the cigars rest."""


_DENIED = re.compile(
    r"\b(?:not|never|no longer|refuses? to|without)(?: \w+)?? (?:sell|sells|sold|do|does|come|"
    r"comes|offer|offers|have|had|stock|stocks|carry|buy|bought|buying|available)\b(?: \w+){0,3}$|"
    r"\b(?:no|not|never)(?: a| the| by the| in a)?$"
)
"""Before `box`: there is none (`they won't sell it by the box`)."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box in words `first` to `end`; `counted` is the number said that it holds."""

    first: int
    end: int
    counted: Number | None
    dozen: bool = False

    @property
    def count(self) -> int | None:
        """How many cigars it holds."""
        if self.dozen:
            return 12
        return int(self.counted.value) if self.counted and self.counted.value else None


def stops(ground: Ground, first: int, end: int) -> int:
    """Ends of sentences between two words, the one before `end` included."""
    return sum(w.gap == STOP for w in ground.row.words[first : end + 1])


def find_boxes(ground: Ground) -> list[Box]:
    """The boxes that are for sale, in the order said."""
    row = ground.row
    found = []
    for first, end, _ in row.find(pattern("{facts.money.box}")):
        printed = re.search(r"\b(?:is|says|written|printed|said|stamped|it) on the$",
                            row.said(first - 3, first))  # fmt: skip
        if printed and row.said(end, end + 1) != "of":
            continue
        if _DENIED.search(row.said(max(first - 9, row.sentence(first, 9)[0]), first)):
            continue
        tail = row.words[first].lower in UNITS and first not in ground.starts
        if row.said(first - 1, first) not in _STORED and not tail:  # "a sixty-five pack"
            dozen = row.words[end - 1].lower == "dozen"
            counted = None if dozen else _counted(ground, first, end)
            found.append(Box(first, end, counted, dozen))
    for number in ground.numbers:
        sold = row.said(number.first - 1, number.first) in ("have", "get", "take", "buy", "buying")
        many = number.form == "whole" and 5 <= (number.value or 0) <= 100
        if sold and many and row.said(number.end, number.end + 1) == "for":
            found.append(Box(number.first, number.end, number))
    return sorted(found, key=lambda box: box.first)


def _counted(ground: Ground, first: int, end: int) -> Number | None:
    """`box of ten`, `ten pack`, `ten to a box`, `the box ..., there are twenty-four in it`."""
    row = ground.row
    packed = ground.starts.get(first)
    if packed and packed.value and row.words[end - 1].lower == "pack":
        return packed
    said = row.said(first, end).split()
    if said[0] == "for":
        inside = ground.numbers_in(first, end)
        return inside[0] if inside else None
    size = end + (row.said(end, end + 1) in ("of", "with", "holding", "holds"))
    number = ground.starts.get(size)
    named = size > end or row.words[end - 1].lower in ("of", "to")
    if number and number.value and 2 <= number.value <= 200 and named:
        return number
    holds = pattern("pieces|sticks|cigars|of them|to a box|to the box|in a box|in it|a box")
    for near in ground.numbers_in(max(first - 8, 0), min(end + 16, len(row.words))):
        plain = near.form == "whole" and near.value and 2 <= near.value <= 200
        held = any(a == near.end for a, _, _ in row.find(holds, near.end, near.end + 3))
        got = row.said(near.first - 2, near.first) in ("you got", "you get", "there 's")
        price = near.first > end and row.said(near.end, near.end + 1) == "for"
        if plain and (held or got or price):
            return near
    return None
