"""Price, currency and price each by the box."""

from __future__ import annotations

import re
from dataclasses import replace

from ...model import Check
from ..ground import Ground
from ..phrases import pattern
from .currency import Currency, currency, family, nouns
from .found import Found, Sections, corrects
from .money import Money
from .shares import shared_out
from .size import read_size

_HEDGE = pattern(r"i think|about|around|maybe|roughly|i 'll check|something like|or so|i guess")
_NOTED = pattern(
    r"(?:i|we)(?: 've| have| had| 'd)? (?:put(?: it)? down|written|wrote|noted|jotted|said|had it|"
    r"thought|guessed|heard|read|misread)|"
    r"(?:my |the )?(?:notes?|card|page|sheet|list|pad) (?:have|has|say|says|said|reads)|it says"
)
"""Before a price: as noted, which may be wrong."""

_WAS = pattern(
    r"(?:it|that|this one|mine|they)(?: 's| was| is| were| came to| cost| should be)|"
    r"i (?:paid|meant|gave)|in truth|really"
)
_CHECKED = pattern(
    r"(?:slip|receipt|ticket|tag|till|label|bill) says|checked|by the way|turns out|actually|"
    r"i was wrong|correction|not {facts.money.said}|in fact"
)


def read_price(ground: Ground, sections: Sections) -> tuple[list[Found], list[Check]]:
    """`price`, `currency` and `box_price_each`, with a check where the division disagrees."""
    sized = {n for f in read_size(ground, sections) for a, b in f.spans for n in range(a, b)}
    sums = [
        m for m in shared_out(ground, sections)
        if not ground.scope.elsewhere(m.first, m.end) and m.first not in sized
    ]  # fmt: skip
    sums = [m for m in sums if sections.of(m.first) in ("setup", "presentation", None)]
    mended = _mended_share(ground, sums)
    single = _single(ground, sections, [m for m in sums if not m.box and m is not mended])
    told = any(m.each for m in sums if m.box)
    lone = single.value() if single and not told else None
    boxed = [
        replace(m, each=True) if m.total and lone and _share(m, lone) else m for m in sums if m.box
    ]
    each, checks = _each(ground, boxed, mended)
    found = []
    if single and (value := single.value()) is not None:
        found.append(Found("price", _tidy(value), ((single.first, single.end),)))
    elif single:
        checks.append(
            Check("fact", "The price can be read in two ways.", (ground.line_id(single.first),))
        )
    if each:
        found.append(each)
    if single and not single.currency:
        near = (_nearby(ground, m) for m in (single, *sums))
        single = replace(single, currency=next((c for c in near if c), None))
    money = next((m for m in (single, *sums) if m and m.currency), None)
    if money and money.currency and money.currency.code:
        found.append(Found("currency", money.currency.code, ((money.first, money.end),)))
    elif money:
        checks.append(
            Check("fact", "Which country's money is meant was not said.",
                  (ground.line_id(money.first),))
        )  # fmt: skip
    return found, checks


def _share(money: Money, price: float) -> bool:
    """True where a sum said of a box can only be for one: it is near the price of one."""
    value = money.value() or 0
    return money.count is not None and 0.4 * price <= value <= 1.3 * price


def _nearby(ground: Ground, money: Money) -> Currency | None:
    """A currency in the same sentence: `twelve seventy-five, by the way, dollars`."""
    row = ground.row
    for first, end, match in row.find(pattern(nouns()), *row.sentence(money.first, 10)):
        if name := family(match[0]):
            return currency(ground, name, first, end)
    return None


def _tidy(value: float) -> float | int:
    return int(value) if value == int(value) else round(value, 4)


def _single(ground: Ground, sections: Sections, sums: list[Money]) -> Money | None:
    """The price of one: the first said in the setup, unless corrected or checked later."""
    best: Money | None = None
    for money in sums:
        setup = sections.of(money.first) == "setup"
        if (not setup and (best is not None or _supposed(ground, money))) or _past(ground, money):
            continue
        if best is None or (setup and money.currency and not (best.currency or _like(best, money))):
            best = money
        elif money.readings != best.readings and setup and _like(best, money) and (
            corrects(ground, best.end, money.first)
            or _paid(ground, best, money)
            or _looked_up(ground, best, money)
            or _denied(ground, best, money)
        ):  # fmt: skip
            best = Money(money.readings, money.currency or best.currency, money.first, money.end)
    return best


def _paid(ground: Ground, listed: Money, money: Money) -> bool:
    """`fifteen on their website, but I paid thirteen`, `he knocked two off, so ten`."""
    if not 0 < money.first - listed.end <= 16:
        return False
    less = pattern(
        r"but (?:i|we|mine|he|she|they)(?: only| just| actually)* (?:paid|got|gave|cost|was|let|"
        r"charged)|"
        r"(?:off|discount|knocked|less|reduced|minus) (?:[^ ]+ )*(?:so|makes|to|which is|that 's)|"
        r"(?:knocked|marked|brought|down) (?:it |them )?(?:down )?to"
    )
    return less.search(ground.row.said(listed.end, money.first)) is not None


def _denied(ground: Ground, said: Money, money: Money) -> bool:
    """`I put down twelve, but it was twelve eighty`, `it wasn't seven, it was seven ninety`."""
    row = ground.row
    start = row.sentence(said.first, 14)[0]
    before = row.said(start, said.first)
    if not 0 < money.first - said.end <= 10:
        return False
    noted = _NOTED.search(before) or re.search(r"\bnot(?: (?:a|for|as))?$", before)
    return bool(noted and _WAS.search(row.said(said.end, money.first)))


def _like(old: Money, new: Money, *, most: float = 3) -> bool:
    """True where one price may be put right by the other: none is `most` times the other."""
    return any(1 / most <= a / b <= most for a in new.readings for b in old.readings if b)


def _supposed(ground: Ground, money: Money) -> bool:
    """`if it was twelve`, `below one fifty`: no price paid."""
    before = ground.row.said(money.first - 4, money.first).split()
    return bool({"if", "below", "under", "over", "above", "than", "more", "save"} & set(before))


def _past(ground: Ground, money: Money) -> bool:
    """`It was eleven dollars last year`: no price of today."""
    after = ground.row.sentence(money.first, 12)[1]
    words = pattern("{counts.scope.earlier}|back then|a year ago|in the old days")
    return any(a - money.end <= 2 for a, _, _ in ground.row.find(words, money.end, after))


def _looked_up(ground: Ground, guess: Money, money: Money) -> bool:
    """True where a price said with a doubt is put right by a later look at the receipt."""
    row = ground.row
    first, end = row.sentence(guess.first)
    doubt = any(True for _ in row.find(_HEDGE, first, end))
    first, end = row.sentence(money.first)
    sure = any(True for _ in row.find(_CHECKED, max(first, money.first - 12), end))
    return doubt and sure


def _mended_share(ground: Ground, sums: list[Money]) -> Money | None:
    """The sum that puts the share of a box right: `twelve each. No, that's wrong, fourteen.`"""
    said = next((m for m in sums if m.box and m.each), None)
    mended = None
    for money in sums if said else ():
        like = said and not money.total and _like(said, money, most=1.4)
        if said and like and money.first > said.end and corrects(ground, said.end, money.first):
            said = mended = money
    return mended


def _each(
    ground: Ground, sums: list[Money], mended: Money | None
) -> tuple[Found | None, list[Check]]:
    """The share of one in a box: as said or put right, or the box price by its count."""
    total = next((m for m in sums if m.total and m.value() is not None), None)
    whole = total.value() if total else None
    share = whole / total.count if whole and total and total.count else None
    said = mended or next((m for m in sums if m.each), None)
    if said is None:
        if total is None or share is None:
            return None, []
        return Found("box_price_each", round(share, 2), ((total.first, total.end),)), []
    value = said.nearest(share) if share else said.value()
    if value is None:
        return None, []
    spans = ((said.first, said.end), *(((total.first, total.end),) if total else ()))
    found = Found("box_price_each", _tidy(value), spans)
    if share and abs(value - share) > 0.02 * share:
        ids = tuple(dict.fromkeys(ground.line_id(a) for a, _ in spans))
        return found, [Check("fact", f"The box divides to {share:g} each, not {value:g}.", ids)]
    return found, []
