"""Length, ring gauge and format."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from .. import data
from ..ground import Ground
from ..numbers import Number
from ..phrases import normal, pattern
from ..stream import STOP
from .found import Found, Mention, Sections, corrects, settle
from .money import Money, named_sums

RING = (20, 80)
LENGTH = (3.0, 10.0)
"""Plausible ring gauges and lengths in inches (trade practice, from memory)."""

_BETWEEN = pattern(
    r"(?:inch|inches|in|long|mm|cm|mil|mils|millimeters|centimeters)?(?: long)?(?: and)?(?: it "
    r"'s)? ?"
    r"(?:by|x|×|times|with)(?: a| an| the| about| roughly| maybe| what)*"
    r"(?: {facts.ring})?(?: of| is)?(?: a)?"
)
_RING_BEFORE = pattern(
    r"{facts.ring}(?: is| 's| of| was| size| number|,)*(?: a| an| about| at| stands| says)*"
    r"(?: which \w+(?: \w+){0,4} (?:stands at|is))?"
)
_RING_AFTER = pattern(
    r"(?:is the |'s the |for the |in the |on the |of |of the )?{facts.ring}|around|round|sixty "
    r"fourths|"
    r"at (?:the|its) (?:belly|middle|waist|(?:fat|thick|wide|broad|fattest|thickest|widest|"
    r"broadest)"
    r"(?: part| end| bit| point)?)"
)


def read_size(ground: Ground, sections: Sections) -> list[Found]:
    """`length_in` (inches) and `ring_gauge`."""
    rings = _rings(ground, sections)
    lengths = _lengths(ground, sections)
    sums = named_sums(ground)
    found = []
    ring = settle(ground, rings + _bare(ground, rings, lengths, sums, RING))
    length = settle(ground, lengths + _bare(ground, lengths, rings, sums, LENGTH))
    for key, mention in (("length_in", length), ("ring_gauge", ring)):
        if mention:
            value = int(mention.value) if mention.value == int(mention.value) else mention.value
            found.append(Found(key, value, ((mention.first, mention.end),)))
    return found


def _plain(number: Number) -> bool:
    return number.value is not None and number.form not in ("ordinal", "clock", "one")


def _setup(sections: Sections, word: int) -> bool:
    return sections.of(word) == "setup"


def _pairs(ground: Ground) -> list[tuple[Number, Number]]:
    """Numbers said as length by ring: `six by fifty-two`, `5.5x46`."""
    pairs = []
    for n, (one, two) in enumerate(zip(ground.numbers, ground.numbers[1:], strict=False)):
        if _plain(two) and two.value and two.value < 1 and _plain(one):
            one, two = one, ground.numbers[min(n + 2, len(ground.numbers) - 1)]
        if not (_plain(one) and _plain(two)) or not 0 <= two.first - one.end <= 11:
            continue
        end = next((m.end for m in ground.lengths if m.first == one.first), one.end)
        if not ground.row.said(end, two.first).startswith(("by", "x", "×", "times", "long")):
            end = one.end
        between = ground.row.said(end, two.first)
        joined = between and _BETWEEN.fullmatch(between)
        halves = (
            one.end == two.first and not ground.row.words[two.first].gap
            and one.form in ("mixed", "decimal") and two.form == "whole"
        )  # fmt: skip
        inches = _inches(ground, one)
        if two.value != int(two.value or 0) or _unit(ground, two):
            continue  # a diameter, not a ring
        if (joined or halves) and 1 <= inches <= 15 and 10 <= (two.value or 0) <= 200:
            pairs.append((one, two))
    return pairs


def _inches(ground: Ground, number: Number) -> float:
    for length in ground.lengths:
        if length.first == number.first:
            return length.inches if length.unit == "in" else round(length.inches, 2)
    return number.value or 0.0


def _unit(ground: Ground, number: Number) -> str | None:
    return next((n.unit for n in ground.lengths if n.first == number.first), None)


def _excluded(ground: Ground, number: Number) -> bool:
    return ground.scope.elsewhere(number.first, number.end)


def _lengths(ground: Ground, sections: Sections) -> list[Mention]:
    paired = {one.first for one, _ in _pairs(ground)}
    found = []
    for one, two in _pairs(ground):
        if _setup(sections, one.first) or LENGTH[0] <= _inches(ground, one) <= LENGTH[1]:
            weight = 3.0 + _setup(sections, one.first) - 2 * _excluded(ground, one)
            weight -= 1.5 * (_unit(ground, one) in ("mm", "cm"))
            found.append(Mention(_inches(ground, one), one.first, two.first, weight))
    for length in ground.lengths:
        inches = length.inches if length.unit == "in" else round(length.inches, 2)
        outside = not LENGTH[0] <= inches <= LENGTH[1]
        if length.first in paired or outside or not _setup(sections, length.first):
            continue
        if ground.scope.elsewhere(length.first, length.end):
            continue
        weight = 2.0 + (length.unit == "in")
        found.append(Mention(inches, length.first, length.end, weight))
    for number in ground.numbers:
        if number.first in paired or not _plain(number) or not _setup(sections, number.first):
            continue
        said = ground.row.said(number.end, number.end + 2).split()
        before = ground.row.said(number.first - 3, number.first)
        if said[:1] == ["long"] or before.endswith(("length", "length is", "the length is")):
            found.append(Mention(_inches(ground, number), number.first, number.end, 2.0))
    return _in_inches(found)


def _in_inches(found: list[Mention]) -> list[Mention]:
    """Drop a metric length that repeats one said in inches (they differ by its rounding)."""
    sure = [m for m in found if m.weight >= 3]
    return sure + [
        m for m in found if m.weight < 3 and not any(abs(m.value - s.value) < 0.15 for s in sure)
    ]


def _rings(ground: Ground, sections: Sections) -> list[Mention]:
    found = [
        Mention(two.value or 0, two.first, two.end, 4.0 - 2 * _excluded(ground, two))
        for _, two in _pairs(ground)
    ]
    taken = {m.first for m in found}
    for number in ground.numbers:
        value = number.value or 0
        if number.first in taken or not _plain(number) or value != int(value):
            continue
        after = ground.row.said(number.end, number.end + 5)
        before = ground.row.said(number.first - 12, number.first)
        named = any(m.end() == len(before) for m in _RING_BEFORE.finditer(before))
        follows = _RING_AFTER.match(after) is not None
        if not (named or follows) or not 10 <= value <= 200:
            continue
        if not _setup(sections, number.first) and not (RING[0] <= value <= RING[1]):
            continue
        if _excluded(ground, number):
            continue
        found.append(Mention(value, number.first, number.end, 3.0 + _setup(sections, number.first)))
    if not found:
        found += _gauged(ground, sections)
    return found


def _gauged(ground: Ground, sections: Sections) -> list[Mention]:
    """`I put a gauge on it and it came out at fifty-two`."""
    row = ground.row
    found = []
    for number in ground.numbers:
        value = number.value or 0
        start = row.sentence(number.first, 16)[0]
        told = row.said(number.first - 1, number.first) in ("at", "is", "says", "reads", "shows")
        gauge = any(True for _ in row.find(pattern("gauge|calliper|caliper"), start, number.first))
        ring = value == int(value) and 30 <= value <= 70 and _plain(number)
        if told and gauge and ring and _setup(sections, number.first) and _alone(ground, number):
            found.append(Mention(value, number.first, number.end, 1.0))
    return found


def _bare(
    ground: Ground,
    own: Sequence[Mention],
    others: Sequence[Mention],
    sums: Sequence[Money],
    plausible: tuple[float, float],
) -> list[Mention]:
    """Bare numbers that correct a value of the same kind: `fifty-four, no, fifty-two`."""
    taken = {m.first for m in (*own, *others)}
    taken |= {n for m in sums for n in range(m.first, m.end)}
    found = []
    for mention in own:
        end = mention.end
        for number in ground.numbers_in(end, end + 40):
            if number.first < end or number.first in taken or not _plain(number):
                continue
            if ground.row.said(number.first - 1, number.first) == "not":
                continue
            if ground.row.words[number.first].gap == STOP and number.first - end > 2:
                break  # a new sentence that opens with a figure speaks of something else
            value = number.value or 0
            if plausible is RING and value != int(value):
                continue
            if not plausible[0] <= value <= plausible[1] or not _alone(ground, number):
                continue
            if corrects(ground, end, number.first, reach=12) or _contrasts(ground, end, number):
                found.append(Mention(value, number.first, number.end, mention.weight, mends=True))
                end = number.end
            else:
                break
    return found


def _contrasts(ground: Ground, end: int, number: Number) -> bool:
    """`fifty-four according to the sleeve, but ..., this is fifty-two`."""
    between = ground.row.said(end, number.first)
    this = r"(?:.* )?but (?:.* )?(?:this|mine|it)(?: one)? (?:is|'s|measures)"
    return number.first - end <= 20 and re.fullmatch(this, between) is not None


def _alone(ground: Ground, number: Number) -> bool:
    """True where no other unit follows: `fifty`, not `fifty dollars`."""
    follows = ground.row.said(number.end, number.end + 1)
    if number.end < len(ground.row.words) and ground.row.words[number.end].gap:
        return True
    return follows not in {
        "percent", "dollars", "pounds", "euro", "euros", "days", "weeks", "months", "years",
        "minutes", "each", "hours", "sticks", "cents", "francs", "pound", "bucks", "a", "of",
    }  # fmt: skip


@cache
def _formats() -> frozenset[str]:
    return frozenset(normal(name) for name in data.cues()["facts.format"])


def read_format(ground: Ground, sections: Sections) -> list[Found]:
    """`format`, in lower case as said."""
    row = ground.row
    mentions: list[tuple[int, int, str, float]] = []
    for first, end, match in row.find(pattern("{facts.format}s?")):
        before = row.said(first - 3, first)
        if ground.scope.elsewhere(first, end) or before.endswith(
            (" not a", "no", "like a", "than a")
        ):
            continue
        section = sections.of(first)
        early = sections.current(first) == 0
        weight = 2.0 * (section == "setup") + 1.0 * (section == "appearance") + early
        if weight:
            name = match[0] if match[0] in _formats() else match[0].removesuffix("s")
            mentions.append((first, end, name, weight))
    best: tuple[int, int, str, float] | None = None
    for mention in mentions:
        later = (
            best
            and mention[2] != best[2]
            and (corrects(ground, best[1], mention[0], reach=10) or _closer(best, mention))
        )
        if best is None or mention[3] > best[3] or later:
            best = mention
    return [Found("format", best[2], ((best[0], best[1]),))] if best else []


def _closer(old: tuple[int, int, str, float], new: tuple[int, int, str, float]) -> bool:
    """True for `a corona, or, what does it say, a corona extra`."""
    return new[2].startswith(old[2] + " ") and new[0] - old[1] <= 14
