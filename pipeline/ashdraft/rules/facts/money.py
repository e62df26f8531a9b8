"""Sums of money in a recording: with their currency, or bare where the talk is of a price."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass

from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from ..stream import STOP
from .boxes import Box, find_boxes, stops
from .currency import LARGE, LARGE_CODES, Currency, currency, family, nation, nations, nouns
from .found import Sections, corrects

_NO_MONEY = frozenset(
    "percent minutes minute hours hour days day weeks week months month years year inches inch "
    "in mm cm millimeters centimeters ring times touch relight relights puffs puff sticks stick "
    "off degrees out point third thirds o'clock pm am grams veins vein people fingers cigars "
    "pieces to by x of corrections wraps".split()
)
_MOVED_ON = frozenset("out to by of in point".split())
"""Of those, what may follow the cents: `eight pounds forty, out of a tenner`."""

_LYING = re.compile(
    r"\b(?:runs?|sits?|stands?|stays?|hovers?|holds?|reads?|says|kept|set) (?:at |on )?$"
)
"""A figure behind these is what a box stands at, not what it costs."""


_DAMP = pattern("percent|humidity|hygrometer|rh")


@dataclass(frozen=True, slots=True)
class Money:
    """A sum in words `first` to `end`. `readings`: what it may be, the likeliest first."""

    readings: tuple[float, ...]
    currency: Currency | None
    first: int
    end: int
    each: bool = False
    box: bool = False
    count: int | None = None

    @property
    def total(self) -> bool:
        """True for the price of a whole box."""
        return self.box and not self.each

    def value(self) -> float | None:
        """The likeliest reading; None where "one ninety-nine" could be 1.99 or 199."""
        if len(self.readings) < 2:
            return self.readings[0] if self.readings else None
        pair, hundreds = self.readings[:2]
        large = self.currency and (
            self.currency.family in LARGE or self.currency.code in LARGE_CODES
        )
        if self.total or large:
            return hundreds
        return pair if pair >= 2 else None

    def nearest(self, wanted: float) -> float | None:
        """The reading closest to a sum worked out from others."""
        return min(self.readings, key=lambda r: abs(r - wanted), default=None)


def find_money(ground: Ground, sections: Sections) -> list[Money]:
    """Sums of money in the order said, not yet told apart into single sticks and boxes."""
    boxes = find_boxes(ground)
    taken = {box.counted.first for box in boxes if box.counted}
    named = named_sums(ground, taken)
    taken |= {n for m in named for n in range(m.first, m.end)}
    sums = sorted(
        [*named, *_bare(ground, sections, taken, named, boxes)], key=lambda m: (m.first, -m.end)
    )
    return [m for n, m in enumerate(sums) if not n or m.first >= sums[n - 1].end]


def named_sums(ground: Ground, taken: Set[int] = frozenset()) -> list[Money]:
    """Sums with their currency: `eight dollars fifty`, `$8.50`, `three thirty Canadian`."""
    found = []
    row = ground.row
    after = pattern(rf"(?:{nations()} )?(?P<noun>{nouns()})")
    country = pattern(nations())
    apiece = pattern("(?:for )?{facts.money.each}")
    for number in ground.numbers:
        readings = number.amounts()
        if not readings or number.first in taken or number.form in ("one", "fraction"):
            continue
        if number.value == 1 and row.said(number.first - 1, number.first) == "for":
            continue  # "fourteen for one, dollars"
        sign = row.words[number.first - 1].lower if number.first else ""
        if sign in ("$", "£", "€", "¥", "₹") and (name := family(sign)):
            where = currency(ground, name, number.first - 1, number.end)
            found.append(Money(readings, where, number.first - 1, number.end))
            continue
        hit = next(iter(row.find(after, number.end, number.end + 6)), None)
        if hit and hit[0] == number.end and (name := family(hit[2]["noun"])):
            sums, end = _cents(ground, number, readings, hit[1])
            found.append(Money(sums, currency(ground, name, number.end, end), number.first, end))
            continue
        each = (b for a, b, _ in row.find(apiece, number.end, number.end + 4) if a == number.end)
        at = next(each, number.end)  # "twenty-two fifty each, Australian"
        hit = next(iter(row.find(country, at, at + 3)), None)
        if hit and hit[0] == at and (said := nation(ground, hit[0], hit[1] + 1)):
            found.append(Money(readings, said, number.first, hit[1] if at == number.end else
                               number.end))  # fmt: skip
    return found


def _cents(
    ground: Ground, number: Number, readings: tuple[float, ...], end: int
) -> tuple[tuple[float, ...], int]:
    """Adds what follows the currency: `fifty`, `and ninety cents`, `and a half`."""
    row = ground.row
    whole = number.value
    if whole is None or whole != int(whole):
        return readings, end
    at = end + (row.said(end, end + 1) == "and")
    part = {"a half": 0.5, "a quarter": 0.25, "three quarters": 0.75}.get(row.said(at, at + 2))
    if part and at > end:
        return (whole + part,), at + 2
    small = ground.starts.get(at)
    if small is None or small.value is None or small.form != "whole" or not 0 < small.value < 100:
        return readings, end
    if row.words[at].gap or (at > end and row.words[end].gap):
        return readings, end
    hit = next(iter(row.find(pattern("{facts.money.small}"), small.end, small.end + 1)), None)
    if hit:
        return (whole + small.value / 100,), hit[1]
    follows = row.said(small.end, small.end + 1)
    counted = follows in _NO_MONEY - _MOVED_ON and not row.words[small.end].gap
    if at > end or counted:
        return readings, end
    return (whole + small.value / 100,), small.end


def _bare(
    ground: Ground,
    sections: Sections,
    taken: set[int],
    named: Sequence[Money],
    boxes: Sequence[Box],
) -> list[Money]:
    """Sums without a currency, where the words around them tell that they are prices."""
    row = ground.row
    found: list[Money] = []
    for number in ground.numbers:
        section = sections.of(number.first)
        if number.first in taken or section not in ("setup", "presentation"):
            continue
        if not number.amounts() or number.form in ("one", "fraction") or _counts(ground, number):
            continue
        start = row.sentence(number.first, 18)[0]
        if any(True for _ in row.find(_DAMP, start, number.first)):
            continue  # "it came in at sixty-nine percent and I took it down to sixty-five"
        before = max((m for m in (*named, *found) if m.end <= number.first),
                     key=lambda m: m.end, default=None)  # fmt: skip
        worth = section == "presentation" and row.said(number.first - 1, number.first) in (
            "at", "for", "worth", "the", "says", "under", "over",
        )  # fmt: skip
        if (
            worth or _asked(ground, number) or _boxed(ground, number, boxes)
            or (section == "setup" and _opens(ground, number))
            or (before is not None and _follows(ground, before, number, boxes))
        ):  # fmt: skip
            found.append(Money(number.amounts(), None, number.first, number.end))
    return found


def _counts(ground: Ground, number: Number) -> bool:
    """True where a unit behind a number says that it is no money, or `not` before it."""
    row = ground.row
    follows = row.said(number.end, number.end + 1)
    gap = number.end < len(row.words) and row.words[number.end].gap
    way = row.said(number.end, number.end + 3) in ("by the way", "by the box")
    if follows in _NO_MONEY and not gap and not way:
        return True
    return row.said(number.first - 1, number.first) == "not"


def _asked(ground: Ground, number: Number) -> bool:
    """`seven ninety a stick`, `Price, thirteen`, `fifteen fifty it was`."""
    row = ground.row
    each = pattern(
        "(?:for )?{facts.money.each}|it was|it is|it cost|it costs|in the box|by the box|"
        "(?:they|he|she) (?:asked|wanted|charged|charge|want|ask)"
    )
    hit = next(iter(row.find(each, number.end, number.end + 4)), None)
    if hit and hit[0] == number.end and row.words[number.end].gap < STOP:
        return True
    line = row.firsts[row.words[number.first].line]
    start = max(number.first - 7, line - 4, 0)
    return any(True for _ in row.find(pattern("{facts.money.said}"), start, number.first))


def _boxed(ground: Ground, number: Number, boxes: Sequence[Box]) -> bool:
    """`a box of ten is ninety`, `ninety for the box of ten`; not `the box sits at sixty`."""
    if _LYING.search(ground.row.said(max(number.first - 3, 0), number.first) + " "):
        return False
    linked = pattern(r"(?:for|on)(?: the| a| that| this)?")
    if any(linked.fullmatch(ground.row.said(number.end, b.first)) and b.count for b in boxes):
        return True
    return any(
        0 < number.first - box.end <= 8 and not stops(ground, box.end, number.first)
        for box in boxes
    )


def _opens(ground: Ground, number: Number) -> bool:
    """`Six fifty at the truck stop`, at the head of a sentence."""
    row = ground.row
    if number.form != "row" or number.amounts()[0] < 2:
        return False
    follows = row.said(number.end, number.end + 1)
    head = number.first == 0 or row.words[number.first].gap == STOP
    return head and follows in ("at", "from", "in", "on", "plus", "before", "after", "with", "they")


def _follows(ground: Ground, before: Money, number: Number, boxes: Sequence[Box]) -> bool:
    """A figure that corrects a sum or is worked out from it: `no, thirteen fifty`, `so eight`."""
    row = ground.row
    near = any(0.4 <= r / b <= 2.5 for r in number.amounts() for b in before.readings if b)
    if near and corrects(ground, before.end, number.first):
        return True
    fewer = pattern("off|knocked|discount|less|minus|reduced")
    so_much = ground.row.said(number.first - 1, number.first) in ("so", "to", "makes", "is")
    cheaper = any(True for _ in row.find(fewer, before.end, number.first))
    if near and so_much and cheaper and number.first - before.end <= 12:
        return True
    shared = any(0 < before.first - box.end <= 10 for box in boxes)
    so = row.said(number.first - 1, number.first) in ("so", "hence", "makes", "'s", "is", "to")
    return shared and so and number.first - before.end <= 4
