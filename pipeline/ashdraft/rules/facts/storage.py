"""Humidity, rest and the number of sticks smoked."""

from __future__ import annotations

import re

from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from .found import Found, Mention, Sections, corrects, settle
from .money import find_money
from .size import read_size

HUMIDITY = (40.0, 90.0)
"""Plausible relative humidity of storage in percent (common practice, no source)."""

LONGEST_REST = 3650.0
"""Days; a longer time is no rest of a stick (common practice, no source)."""

DAYS = {
    "day": 1, "days": 1, "night": 1, "nights": 1, "week": 7, "weeks": 7, "fortnight": 14,
    "fortnights": 14, "month": 30, "months": 30, "year": 365, "years": 365,
}  # fmt: skip
"""Weeks are 7 days, a month 30 (docs/labelling.md)."""

_OTHER_BOX = pattern(
    r"(?:the|my|his|her|an|a|that) (?:second|big|bigger|large|old|spare|main|wife 's|small) "
    r"{facts.store}"
)
_REFUSED = pattern(
    r"(?:that 's|those are|but that 's|that is|which is) (?:for|the other|my|me|his|hers|not)|"
    r"but (?:that 's|those are|that is) (?:the|a|an|where|only) \w+|"
    r"(?:nothing|none) of (?:this|these)|never saw|not (?:for )?this|nothing from there|never "
    r"lived|have not been near|not mine|not these|"
    r"(?:do|did|would|will) not (?:keep|store|put|leave|have|rest|hold) (?:these|this|them|it|mine|"
    r"any|nothing|anything|one of these)|never (?:kept|put|went|been|stored|held)|not where|"
    r"leave nothing|for other things|for the (?:corks|wine|others|engineers)"
)
_MOVED = re.compile(
    r"\b(?:moved|turned|brought|took|dropped|raised|lowered|let|knocked|set|went|settled|got|came|"
    r"adjusted|eased|nudged|pulled|pushed)(?: (?:it|them|that|the \w+|these))?(?: back)?"
    r"(?: down| up)?(?: to| at)$|\b(?:so|just|please) (?:count|say|call it|take|put down|go with)$"
)
"""Before a second humidity: what it was brought to holds (`I moved it down to sixty-five`)."""

_ANOTHER = re.compile(
    r"\b(?:the|my|his|her|their|our|that) (?:\w+ ){0,2}?(?!humidity|reading|gauge|dial|meter|"
    r"needle|hygrometer|figure|number|one|box|humidor|card|label|note)[a-z]+ "
    r"(?:is|'s|was|sits|stays|runs|reads|stands|keeps?(?: \w+)?)(?: up| down)?"
    r"(?: at| on)?(?: about| around)?$"
)
"""Before a second humidity: it is told of a place of its own."""

_DISOWNED = re.compile(
    r"\bnot (?:in |from )?(?:the|my|his|her) (\w+)(?: \w+)?? (?:the|my|that) \1(?: \w+){0,3}$"
)
"""`not the lunchbox, the lunchbox is at ...`"""

_THIS = pattern(
    r"this (?:one|stick|cigar|box|one 's|fellow|lot|lad|girl|came|lived|was|sat|has|had|is|"
    r"comes|lay)|these|mine|they|"
    r"them|with me|my own|it 's|it"
)


def read_humidity(ground: Ground, sections: Sections) -> list[Found]:
    """`rh_percent`: of the box this stick came from."""
    mentions = []
    taken = _sized(ground, sections)
    for number in ground.numbers:
        if number.value is None or number.form in ("ordinal", "clock", "one"):
            continue
        if sections.of(number.first) != "setup":
            continue
        weight = None if number.first in taken else _humid(ground, number)
        if weight is None or not 30 <= number.value <= 100:
            continue
        if ground.scope.elsewhere(number.first, number.end) or ground.scope.wish[number.first]:
            continue
        if _refused(ground, number):
            weight -= 2
        start, _ = ground.row.sentence(number.first, 25)
        buts = [n for n in range(start, number.first) if ground.row.words[n].lower == "but"]
        start = buts[-1] if buts else start
        other = [b for _, b, _ in ground.row.find(_OTHER_BOX, start, number.end)]
        this = [b for _, b, _ in ground.row.find(_THIS, start, number.end)]
        if other and (not this or max(this) < max(other)):
            weight -= 1
        if _contrasted(ground, number):
            weight -= 1
        if _DISOWNED.search(ground.row.said(max(number.first - 14, 0), number.first)):
            weight -= 1
        mentions.append(Mention(number.value, number.first, number.end, weight))
    mentions += _repeated(ground, mentions, taken)
    best = settle(ground, mentions, reach=16)
    if best is None:
        return []
    value = int(best.value) if best.value == int(best.value) else best.value
    return [Found("rh_percent", value, ((best.first, best.end),))]


def _contrasted(ground: Ground, number: Number) -> bool:
    """`the upper shelf shows seventy-one, but this fellow was on the lower`."""
    row = ground.row
    end = row.sentence(number.first, 16)[1]
    but = pattern(
        r"but (?:this|these|mine|ours|it was|they were)(?: \w+){0,12}|"
        r"(?:and|but|while|whereas)(?: \w+){1,4} where (?:these|this|mine|they|it)(?: \w+){0,8}"
    )
    return any(
        any(n.value and 45 <= n.value <= 85 for n in ground.numbers_in(a, b + 6))
        for a, b, _ in row.find(but, number.end, end)
        if a - number.end <= 3
    )


def _humid(ground: Ground, number: Number) -> float | None:
    """How surely a number is a humidity; None when it is none."""
    row = ground.row
    follows = row.said(number.end, number.end + 1)
    before = row.said(number.first - 2, number.first)
    if follows in ("pack", "packs", "sachet", "sachets") and 49 <= (number.value or 0) <= 84:
        return 2.0  # a two-way humidity pack
    if follows in ("percent", "per"):
        more = row.said(number.end + 1, number.end + 2) in ("more", "less", "sweeter", "off")
        return None if more or row.said(number.end, number.end + 2) == "per piece" else 2.0
    sentence = row.sentence(number.first, 18)
    dial = any(True for _ in row.find(pattern("{facts.humidity}"), *sentence))
    store = any(True for _ in row.find(pattern("{facts.store}"), *sentence))
    last = before.split()[-1:] if before else []
    placed = last and last[0] in (
        "at", "reads", "says", "humidity", "on", "shows", "is", "'s", "it", "shown", "showing",
        "exactly", "reading", "steady", "roughly",
    )  # fmt: skip
    gap = number.end >= len(row.words) or row.words[number.end].gap > 0
    unit = follows in DAYS or follows in (
        "degrees", "by", "inches", "inch", "millimeters", "pounds", "dollars", "euros", "ring",
        "minutes", "each", "a", "euro", "pieces", "sticks", "cents", "point", "mm", "x",
    )  # fmt: skip
    if not 40 <= (number.value or 0) <= 90 or (unit and not gap):
        return None
    if placed and (dial or store):
        return 2.0
    plain = number.form == "whole" and 55 <= (number.value or 0) <= 80
    shown = last and last[0] in ("at", "reads", "says", "shows")
    return 1.5 if plain and shown and (gap or not follows) else None


def _refused(ground: Ground, number: Number) -> bool:
    """True where the words behind say that the figure is for another box."""
    row = ground.row
    end = min(number.end + 14, len(row.words))
    nexts = [n.first for n in ground.numbers if number.end <= n.first < end]
    stop = min(nexts, default=end)
    return any(True for _ in row.find(_REFUSED, number.end, stop))


def _sized(ground: Ground, sections: Sections) -> set[int]:
    """The words of sizes and prices, which are no humidity."""
    spans = [span for found in read_size(ground, sections) for span in found.spans]
    spans += [(m.first, m.end) for m in find_money(ground, sections)]
    return {n for first, end in spans for n in range(first, end)}


def _repeated(ground: Ground, mentions: list[Mention], taken: set[int]) -> list[Mention]:
    """Bare numbers that correct a humidity: `sixty-nine, no, sixty-five`."""
    known = taken | {m.first for m in mentions}
    found = []
    for mention in mentions:
        for number in ground.numbers_in(mention.end, mention.end + 17):
            before = ground.row.said(max(number.first - 9, mention.end), number.first)
            moved = _MOVED.search(before) is not None
            if number.first in known and not (moved and number.first in taken):
                continue
            follows = ground.row.said(number.end, number.end + 1)
            plain = number.value is not None and number.form in ("whole", "decimal")
            if not plain or not HUMIDITY[0] <= (number.value or 0) <= HUMIDITY[1]:
                continue
            if follows in DAYS or ground.scope.elsewhere(number.first, number.end):
                continue
            if _elsewhere(ground, number) or _placed_apart(ground, mention, number):
                continue
            so = before.endswith(("so", "therefore", "hence"))
            if so or moved or corrects(ground, mention.end, number.first, reach=16):
                found.append(
                    Mention(number.value or 0, number.first, number.end, mention.weight, mends=True)
                )
    return found


def _elsewhere(ground: Ground, number: Number) -> bool:
    """`sixty-nine is the cooler`, `sixty-two was Dad's tin`: told of another place."""
    after = ground.row.said(number.end, number.end + 3)
    other = r"(?:is|was|'s|that 's|that was|belongs to) (?!fine|right|it|where|good|enough|what)"
    return re.match(rf"{other}[a-z]", after) is not None


def _placed_apart(ground: Ground, mention: Mention, number: Number) -> bool:
    """`the lunchbox is at seventy-two`: the figure of another place, told by its name."""
    before = ground.row.said(max(number.first - 7, mention.end), number.first)
    return _ANOTHER.search(before) is not None


def read_rest(ground: Ground, sections: Sections) -> list[Found]:
    """`rest_days`."""
    mentions: list[Mention] = []
    row = ground.row
    for number in ground.numbers:
        unit = _unit(ground, number)
        if unit is None:
            continue
        value, end = unit
        if sections.of(number.first) != "setup" or ground.scope.elsewhere(number.first, end):
            continue
        after = row.said(end, end + 2).split()
        gone = after[:1] == ["on"] and after[1:] not in (["them"], ["it"], ["these"], ["this"])
        if ground.scope.wish[number.first] or gone or after[:1] in (["apart"], ["old"], ["later"]):
            continue
        start, stop = row.sentence(number.first, 20)
        resting = any(True for _ in row.find(pattern("{facts.resting}"), start, stop))
        if value > LONGEST_REST or (value > 1000 and not resting):
            continue
        last = mentions[-1] if mentions else None
        between = row.said(last.end, number.first) if last else ""
        if last and re.fullmatch(r"(?:and|plus)(?: then)?(?: another)?", between):
            mentions[-1] = Mention(last.value + value, last.first, end, last.weight)
            continue
        so = (
            last is not None
            and number.first < stop
            and last.first >= start
            and bool(re.search(r"\bso(?: that 's| it 's| call it)?$", between))
        )
        mentions.append(Mention(value, number.first, end, 1.0 + resting, mends=so))
    mentions += _more_days(ground, mentions)
    mentions += _unnumbered(ground, sections)
    best = settle(ground, mentions, reach=14)
    if best is None:
        return []
    return [Found("rest_days", round(best.value), ((best.first, best.end),))]


def _unit(ground: Ground, number: Number) -> tuple[float, int] | None:
    """Days and end of a number followed by a unit of time: `two and a half months`."""
    if number.value is None or number.form in ("ordinal", "clock"):
        return None
    row = ground.row
    at = number.end
    if row.said(at, at + 1) in ("full", "whole", "good", "solid", "long", "more", "extra"):
        at += 1
    if number.form == "fraction" and row.said(at, at + 1) in ("a", "an"):
        at += 1
    unit = row.said(at, at + 1)
    if unit not in DAYS:
        return None
    days, end = number.value * DAYS[unit], at + 1
    if unit in ("year", "years"):  # half a year is six months of 30 days
        days = int(number.value) * DAYS[unit] + (number.value % 1) * 12 * DAYS["month"]
    if row.said(end, end + 3) == "and a half":
        days, end = days + 0.5 * DAYS[unit], end + 3
    return days, end


def _unnumbered(ground: Ground, sections: Sections) -> list[Mention]:
    """`a fortnight`, `a month`, `a year and a half`, `a couple of weeks`."""
    row = ground.row
    found = []
    said = pattern(
        r"(?:a|one|a good|a full|a whole|about a|the|another) (?P<one>week|fortnight|month|year)"
        r"(?P<half> and a half)?|(?:a )?couple (?:of )?(?P<two>days|weeks|months|years)"
    )
    for first, end, match in row.find(said):
        if sections.of(first) != "setup" or ground.scope.elsewhere(first, end):
            continue
        if ground.scope.wish[first] or row.said(end, end + 1) in ("apart", "ago", "on", "later"):
            continue
        start, stop = row.sentence(first, 20)
        if not any(True for _ in row.find(pattern("{facts.resting}"), start, stop)):
            continue
        if match["two"]:
            days = 2.0 * DAYS[match["two"]]
        else:
            days = (1.5 if match["half"] else 1.0) * DAYS[match["one"]]
        found.append(Mention(days, first, end, 1.5))
    return found


def _more_days(ground: Ground, mentions: list[Mention]) -> list[Mention]:
    """Bare numbers that correct a rest: `ten weeks, no, eleven`, `but the receipt says five`."""
    found = []
    row = ground.row
    for mention in mentions:
        unit = DAYS.get(row.words[mention.end - 1].lower, 0)
        for number in ground.numbers_in(mention.end, mention.end + 17):
            if number.value is None or number.form != "whole" or _unit(ground, number):
                break
            follows = row.said(number.end, number.end + 1)
            gap = number.end >= len(row.words) or row.words[number.end].gap > 0
            near = mention.value / 4 <= number.value * unit <= mention.value * 4
            if not unit or not near or not (gap or follows in ("and", "at", "in", "with", "i")):
                break
            if corrects(ground, mention.end, number.first, reach=16):
                found.append(Mention(number.value * unit, number.first, number.end, mention.weight))
    return found
