"""Figures that are no mark, or not the last word: turned down, remembered, put right."""

from __future__ import annotations

import re

from ..ground import Ground
from ..phrases import pattern
from .figures import Figure

REACH = 32
"""Words within which the figures of one item are looked for."""

AT_MOST = re.compile(
    r"\b(?:(?:can|could|will|would|did|do|dare|must|should|may) not|never|not|hardly)(?: (?:really|"
    r"honestly|fairly|possibly|quite))?(?: (?:go|give|score|put|rate|mark|push|get|justify|see|"
    r"have))?"
    r"(?: (?:it|this|that|her|him|them|myself|to|the \w+))*"
    r" (?:above|over|past|beyond|higher than|better than|more than|further than|any higher than|"
    r"north of)"
    r"(?: (?:a|an|the))?$"
)
"""`I can't go above a six`: six is what it gets."""


_OTHERS_MARK = pattern(
    r"(?:(?:my|the|his|her|a|our) (?:\w+ )?{counts.scope.person}|he|she|they|people|somebody|"
    r"others)"
    r"(?: (?:would|might|'d|will|'ll|probably|even|only|once|just|has|have|had))*"
    r" (?:say|says|said|give|gives|gave|given|rated|reckons|reckoned|calls|called|thought)"
)
"""`My brother would say nine`, `he gave it a six`: somebody else's mark."""


def soft(ground: Ground, figure: Figure) -> bool:
    """A figure only remembered: `I'd written nine`, `I said thirteen`."""
    before = ground.row.said(max(figure.first - 6, 0), figure.first)
    soft = pattern(
        "(?:.* )?{facts.mark-first}(?: it| that| them)?(?: a| an| as| at| for| the| down)*"
    )
    return soft.fullmatch(before) is not None


def closes(ground: Ground, old: Figure, new: Figure) -> bool:
    """True where a figure ends the sentence of an older one, or follows it with `so`, `now`."""
    row = ground.row
    first, end = row.sentence(old.first, REACH)
    last = new.end >= len(row.words) or row.words[new.end].gap > 0
    turned = re.search(r"\b(?:but|though|now|reflection)\b", row.said(old.end, new.first))
    return first <= new.first < end and (bool(turned) or (last and row.words[new.first].gap > 0))


def but(ground: Ground, figure: Figure) -> bool:
    """`..., but eight`."""
    return ground.row.said(figure.first - 1, figure.first) == "but"


def refused(ground: Ground, figure: Figure) -> bool:
    """True for a figure named only to be turned down."""
    row = ground.row
    first = max(figure.first - 4, 0)
    before = row.said(first, figure.first)
    after = row.said(figure.end, figure.end + 3)
    if AT_MOST.search(row.said(max(figure.first - 9, 0), figure.first)):
        return False
    start = max(row.sentence(figure.first, 14)[0], figure.first - 14)
    if any(figure.first - end <= 4 for _, end, _ in row.find(_OTHERS_MARK, start, figure.first)):
        return True
    turned_down = pattern("{facts.mark-refused}(?: a| an| the| of| to| for)*")
    tail = next((m for m in turned_down.finditer(before) if m.end() == len(before)), None)
    if tail and not (
        tail[0].split()[0] == "no" and not before.endswith(("it 's no", "is no", "'s no"))
    ):
        return True
    return after.startswith(
        (
            "refused",
            "denied",
            "would be",
            "is too",
            "i had",
            "i 'd had",
            "i 'd written",
            "i was going",
        )
    )
