"""Tells for each sum of money whether it is for one stick, for a box, or for one by the box."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from ..ground import Ground
from ..phrases import any_of, pattern
from .boxes import Box, find_boxes, stops
from .found import Sections
from .money import Money, find_money


def shared_out(ground: Ground, sections: Sections) -> list[Money]:
    """The sums of money with `each`, `box` and `count` set."""
    row = ground.row
    boxes = find_boxes(ground)
    each = pattern(r"(?:it was |it is |\w+ )?{facts.money.each}")
    made = [
        replace(
            m,
            each=m.end not in ground.starts
            and any(
                a == m.end and not _goes_on(ground, b)
                for a, b, _ in row.find(each, m.end, m.end + 7)
            ),
        )
        for m in find_money(ground, sections)
    ]
    for n, money in enumerate(made):
        box = _box(ground, made, n, boxes)
        if box is None or (box.first > money.first and _alone(ground, money)):
            continue
        share = money.each or _worked_out(ground, made, n) or _by_the_box(ground, money, box)
        made[n] = replace(money, box=True, each=share, count=box.count)
    return made


def _goes_on(ground: Ground, end: int) -> bool:
    """`so each one goes to eight`: the share is told behind, it is not the sum before."""
    tail = r"(?:(?:one|goes|to|is|at|comes|out|costs|for|works|of|them|'s|you|pay|about|stick) )*"
    return any(
        re.fullmatch(tail, ground.row.said(end, n.first) + " ")
        for n in ground.numbers_in(end, end + 6)
    )


def _alone(ground: Ground, money: Money) -> bool:
    """`a single is nine dollars`: no share of a box."""
    single = pattern(
        r"(?:single|singles|on its own|one|individually|loose)(?: (?!or|and|but)\w+){0,3}"
    )
    found = ground.row.find(single, max(money.first - 5, 0), money.first)
    return any(end == money.first for _, end, _ in found)


def _for_one(ground: Ground, money: Money) -> bool:
    """`seven ninety it was for the one`: no share of a box named behind."""
    after = ground.row.said(money.end, money.end + 6)
    return bool(
        re.match(
            r"(?:it was |it is |they are |that 's )?for (?:the |a |just )*(?:one|single)\b", after
        )
    )


def _worked_out(ground: Ground, sums: Sequence[Money], n: int) -> bool:
    """`it's eighty, so eight`: the share that follows a total."""
    last = sums[n - 1] if n else None
    if last is None or not last.total or not 0 < sums[n].first - last.end <= 16:
        return False
    so = pattern(
        r"so|hence|which makes(?: it| them)?|that 's|makes it|which is|(?:works|comes|goes) "
        r"(?:out )?"
        r"(?:at|to)|call it|meaning|i make that"
    )
    lead = ground.row.said(max(last.end, sums[n].first - 6), sums[n].first)
    whole, share = last.value(), sums[n].value()
    return bool(so.search(lead)) and not (whole and share and share > 0.6 * whole)


def _by_the_box(ground: Ground, money: Money, box: Box) -> bool:
    """True for `eight fifty by the box`, `works out to twelve fifty`: a share, not the total."""
    row = ground.row
    if box.first >= money.end:
        return not row.said(money.end, box.first).startswith(("for", "on"))
    lead = row.said(max(box.first - 2, 0), box.first)
    share = pattern(
        any_of("facts.money.each") + "|works out(?: to| at)?|that 's|so|makes it|make it"
    )
    between = row.said(box.end, money.first)
    return lead.startswith(("by the", "in the", "in a")) and bool(share.search(between))


def _box(ground: Ground, sums: Sequence[Money], n: int, boxes: Sequence[Box]) -> Box | None:
    """The box a sum belongs to: said shortly before it, or right behind it (`each by the box`)."""
    money = sums[n]
    row = ground.row
    box = next((b for b in reversed(boxes) if b.end <= money.first), None)
    if box is not None and _led_to(ground, sums, n, box):
        return box
    box = next((b for b in boxes if money.end <= b.first <= money.end + 9), None)
    if box is None or _for_one(ground, money):
        return None
    lead = row.said(max(box.first - 4, money.end), box.first).split()
    if stops(ground, money.end, box.first):
        return None
    condition = bool({"if", "by", "in", "when", "with", "for"} & set(lead))
    commit = row.said(box.first, box.end).startswith("commit")
    joined = re.fullmatch(
        r"(?:for|on)(?: the| a| that| this| every)?", row.said(money.end, box.first)
    )
    forward = not joined and n + 1 < len(sums) and sums[n + 1].first - box.end <= 10
    return box if (condition or commit or joined) and not forward else None


def _led_to(ground: Ground, sums: Sequence[Money], n: int, box: Box) -> bool:
    """True where a box said before a sum is the one it is for."""
    money = sums[n]
    between = [m for m in sums[:n] if box.end <= m.first]
    reach = 30 if between else 14 if box.count else 6
    cut = stops(ground, box.end, money.first)
    told = bool(between) or box.count is not None
    near = money.first - box.end <= reach and (not cut or (cut == 1 and told and money.each))
    first = not between or (len(between) == 1 and (money.each or between[0].total))
    return near and first
