"""Finds the sums of money in a recording and what each is for: one stick, or a box."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from ..ground import Ground
from ..numbers import UNITS, Number
from ..phrases import any_of, pattern
from .currency import LARGE, LARGE_CODES, Currency, currency, family, nation, nations, nouns
from ..stream import STOP
from .found import Sections, corrects

_NO_MONEY = frozenset(
    "percent minutes minute hours hour days day weeks week months month years year inches inch "
    "in mm cm millimeters centimeters ring times touch relight relights puffs puff sticks stick "
    "degrees out point third thirds o'clock pm am grams veins vein people fingers cigars pieces "
    "to by x of corrections wraps".split()
)


_STORED = frozenset("my his her our 's old new other big small each two your same wine".split())
"""Before `box` these make it the place where the cigars rest."""


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
        if self.total:
            return hundreds
        large = self.currency and (
            self.currency.family in LARGE or self.currency.code in LARGE_CODES
        )
        if large:
            return hundreds
        return pair if pair >= 2 else None

    def nearest(self, wanted: float) -> float | None:
        """The reading closest to a sum worked out from others."""
        return min(self.readings, key=lambda r: abs(r - wanted), default=None)


def find_money(ground: Ground, sections: Sections) -> list[Money]:
    """Sums of money in the order said, boxes and single sticks told apart."""
    boxes = [
        box for box in ground.row.find(pattern("{facts.money.box}"))
        if ground.row.said(box[0] - 1, box[0]) not in _STORED and _packed(ground, box[0])
    ]  # fmt: skip
    counts = _counts(ground, boxes)
    taken = {n.first for n in counts.values()}
    named = _named(ground, taken)
    taken |= {n for m in named for n in range(m.first, m.end)}
    sums = sorted(
        named + _bare(ground, sections, taken, named, boxes), key=lambda m: (m.first, -m.end)
    )
    sums = [m for n, m in enumerate(sums) if not n or m.first >= sums[n - 1].end]
    return _bound(ground, sums, boxes, counts)


def _packed(ground: Ground, first: int) -> bool:
    """False for the tail of another number: `a sixty-five pack` is no five-pack."""
    word = ground.row.words[first].lower
    return word not in UNITS or first in ground.starts


def _named(ground: Ground, taken: set[int]) -> list[Money]:
    """Sums with their currency: `eight dollars fifty`, `$8.50`, `three thirty Canadian`."""
    found = []
    row = ground.row
    after = pattern(rf"(?:{nations()} )?(?P<noun>{nouns()})")
    country = pattern(nations())
    for number in ground.numbers:
        readings = number.amounts()
        if not readings or number.first in taken or number.form in ("one", "fraction"):
            continue
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
        hit = next(iter(row.find(country, number.end, number.end + 3)), None)
        where_said = hit and hit[0] == number.end and nation(ground, hit[0], hit[1] + 1)
        if hit and where_said:
            found.append(Money(readings, where_said, number.first, hit[1]))
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
    if row.said(at, at + 2) == "a half" and at > end:
        return (whole + 0.5,), at + 2
    small = ground.starts.get(at)
    if small is None or small.value is None or small.form != "whole" or not 0 < small.value < 100:
        return readings, end
    if row.words[at].gap or (at > end and row.words[end].gap):
        return readings, end
    hit = next(iter(row.find(pattern("{facts.money.small}"), small.end, small.end + 1)), None)
    if hit:
        return (whole + small.value / 100,), hit[1]
    follows = row.said(small.end, small.end + 1)
    counted = follows in _NO_MONEY - {"out", "to", "by", "of", "in", "point"}
    if at > end or (counted and not row.words[small.end].gap):
        return readings, end
    return (whole + small.value / 100,), small.end


def _bare(
    ground: Ground,
    sections: Sections,
    taken: set[int],
    named: list[Money],
    boxes: list[tuple[int, int, object]],
) -> list[Money]:
    """Sums without a currency, where the words around them tell that they are prices."""
    row = ground.row
    each = pattern(
        "(?:for )?{facts.money.each}|it was|it is|it cost|it costs|in the box|by the box|"
        "(?:they|he|she) (?:asked|wanted|charged|charge|want|ask)"
    )
    price = pattern("{facts.money.said}")
    found: list[Money] = []
    for number in ground.numbers:
        readings = number.amounts()
        section = sections.of(number.first)
        if not readings or number.first in taken or section not in ("setup", "presentation"):
            continue
        follows = row.said(number.end, number.end + 1)
        gap = number.end < len(row.words) and row.words[number.end].gap
        way = row.said(number.end, number.end + 3) in ("by the way", "by the box")
        if (follows in _NO_MONEY and not gap and not way) or number.form in ("one", "fraction"):
            continue
        start = max(number.first - 7, 0)
        line = row.firsts[row.words[number.first].line]
        if row.said(number.first - 1, number.first) == "not":
            continue
        hit = next(iter(row.find(each, number.end, number.end + 4)), None)
        if hit and row.words[number.end].gap == STOP:
            hit = None
        told = any(True for _ in row.find(price, max(start, line - 4), number.first))
        lying = re.search(r"\b(?:runs?|sits?|stands?|stays?|hovers?|holds?|reads?|says|kept|set) "
                          r"(?:at |on )?$", row.said(max(number.first - 3, 0), number.first) + " ")
        boxed = not lying and any(
            0 < number.first - b[1] <= 8 and not _stops(ground, b[1], number.first) for b in boxes
        )
        before = [m for m in (*named, *found) if m.end <= number.first]
        mended = (
            bool(before) and corrects(ground, before[-1].end, number.first)
            and any(0.4 <= r / b <= 2.5 for r in readings for b in before[-1].readings if b)
        )  # fmt: skip
        shared = bool(before) and number.first - before[-1].end <= 4 and any(
            0 < before[-1].first - b[1] <= 10 for b in boxes
        ) and row.said(number.first - 1, number.first) in ("so", "hence", "makes", "'s", "is", "to")
        opens = number.form == "row" and readings[0] >= 2 and section == "setup" and (
            number.first == 0 or row.words[number.first].gap == STOP
        ) and follows in ("at", "from", "in", "on", "plus", "before", "after", "with", "they", "")
        worth = section == "presentation" and row.said(number.first - 1, number.first) in (
            "at", "for", "worth", "the", "says", "under", "over",
        )  # fmt: skip
        if (hit and hit[0] == number.end) or told or boxed or mended or worth or shared or opens:
            found.append(Money(readings, None, number.first, number.end))
    return found


def _stops(ground: Ground, first: int, end: int) -> int:
    """Ends of sentences between two words, the one before `end` included."""
    return sum(w.gap == STOP for w in ground.row.words[first : end + 1])


def _counts(ground: Ground, boxes: list[tuple[int, int, object]]) -> dict[int, Number]:
    """How many a box holds, by the first word of the box: `box of ten`, `ten to a box`."""
    row = ground.row
    counts: dict[int, Number] = {}
    holds = pattern(r"(?:pieces|sticks|cigars|of them|to a box|to the box|in a box|in it|a box)")
    for first, end, _ in boxes:
        packed = ground.starts.get(first)
        if packed and row.words[end - 1].lower == "pack" and packed.value:
            counts[first] = packed
            continue
        size = end + (row.said(end, end + 1) in ("of", "with", "holding", "holds"))
        number = ground.starts.get(size)
        if number and number.value and 2 <= number.value <= 200 and (
            size > end or row.words[end - 1].lower in ("of", "to")
        ):  # fmt: skip
            counts[first] = number
            continue
        near = ground.numbers_in(max(first - 8, 0), min(end + 16, len(row.words)))
        for number in near:
            plain = number.form == "whole" and number.value and 2 <= number.value <= 200
            said = any(
                a == number.end for a, _, _ in row.find(holds, number.end, number.end + 3)
            )
            got = row.said(number.first - 2, number.first) in ("you got", "you get", "there 's")
            got = got or (row.said(number.end, number.end + 1) == "for" and number.first > end)
            if plain and (said or got):
                counts[first] = number
                break
    return counts


def _bound(
    ground: Ground,
    sums: list[Money],
    boxes: list[tuple[int, int, object]],
    counts: dict[int, Number],
) -> list[Money]:
    """Tell for each sum whether it is each and whether it is by the box."""
    row = ground.row
    each = pattern(r"(?:\w+ )?{facts.money.each}")
    so = pattern(r"(?:so|hence|which makes it|that 's|makes it|which is|works out (?:at|to))")
    made = [
        replace(m, each=any(a == m.end for a, _, _ in row.find(each, m.end, m.end + 7)))
        for m in sums
    ]
    single = pattern(r"(?:single|singles|on its own|one|individually|loose)(?: (?!or|and|but)\w+){0,3}")
    for n, money in enumerate(made):
        box = _box(ground, made, n, boxes, counts)
        if box is None:
            continue
        last = made[n - 1] if n else None
        if last and last.total and 0 < money.first - last.end <= 4 and so.search(
            row.said(last.end, money.first)
        ):  # fmt: skip
            money = replace(money, each=True)
        count = counts.get(box[0])
        alone = any(
            b == money.first for _, b, _ in row.find(single, max(money.first - 5, 0), money.first)
        )
        if alone and box[0] > money.first:
            continue
        made[n] = replace(
            money,
            box=True,
            each=money.each or _by_the_box(ground, money, box),
            count=int(count.value) if count and count.value else None,
        )
    return made


def _by_the_box(ground: Ground, money: Money, box: tuple[int, int, object]) -> bool:
    """True for `eight fifty by the box`, `works out to twelve fifty`: a share, not the total."""
    row = ground.row
    if box[0] >= money.end:
        return not row.said(money.end, box[0]).startswith("for")
    lead = row.said(max(box[0] - 2, 0), box[0])
    between = row.said(box[1], money.first)
    share = pattern(any_of("facts.money.each") + "|works out(?: to| at)?|that 's|so|makes it|make it")
    return lead.startswith(("by the", "in the", "in a")) and bool(share.search(between))


def _box(
    ground: Ground,
    sums: list[Money],
    n: int,
    boxes: list[tuple[int, int, object]],
    counted: dict[int, Number],
) -> tuple[int, int, object] | None:
    """The box a sum belongs to: said shortly before it, or right behind it (`each by the box`)."""
    money = sums[n]
    row = ground.row
    for box in reversed(boxes):
        if box[1] <= money.first:
            between = [m for m in sums[:n] if box[1] <= m.first]
            near = money.first - box[1] <= (30 if between else 14 if box[0] in counted else 6)
            stops = _stops(ground, box[1], money.first)
            told = bool(between) or box[0] in counted
            near = near and (not stops or (stops == 1 and told and money.each))
            first_sum = not between or (len(between) == 1 and (money.each or between[0].total))
            if near and first_sum:
                return box
            break
    ahead = sums[n + 1].first if n + 1 < len(sums) else len(row.words)
    for box in boxes:
        if money.end <= box[0] <= money.end + 9:
            lead = row.said(max(box[0] - 4, money.end), box[0])
            condition = any(w in lead.split() for w in ("if", "by", "in", "when", "with", "for"))
            commit = row.said(box[0], box[1]).startswith("commit")
            forward = n + 1 < len(sums) and ahead - box[1] <= 10
            if (condition or commit) and not forward:
                return box
            break
    return None
