"""Figures in talk of touch-ups and relights: which may be counts, and what they count."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from .model import Claim, Mention, Tally

MOST = 15
"""No stick is touched up more often; a greater figure counts something else."""
_PLACE = re.compile(
    r"(?:of (?:those|them|these|which) )?(?:was |were |came |at|in|on|up|near|early|late|during|"
    r"before|after|right|down|towards?)\b"
)


def claim_at(ground: Ground, kind: Tally, value: float, first: int, end: int) -> Claim:
    return Claim(kind, int(value), ground.row.words[first].line, first, end)


def whole(number: Number | None) -> int | None:
    if number is not None and number.form == "row" and len(set(number.parts)) == 1:
        return int(number.parts[0]) if number.parts[0] <= MOST else None  # "two, two"
    if number is None or number.value is None or number.form not in ("whole", "one"):
        return None
    return int(number.value) if number.value == int(number.value) <= MOST else None


def marked(ground: Ground, at: int) -> bool:
    """True where a sentence gives a figure to something else: `the draw was loose, so nine`."""
    row = ground.row
    first, _ = row.sentence(at)
    last = max((b for _, b, _ in row.find(pattern("{facts.item}"), first, at)), default=None)
    if last is None:
        return False
    if row.words[last - 1].lower in ("burn", "burning"):  # only `the burn's a six`
        gives = r"(?:'s|is|gets|get|at|a|an|to|the|i|give|it|so|say|down|then|that 's|mark|score|"
        gives += r"stays|for|of|me|call)"
        return bool(re.fullmatch(rf"(?:{gives}(?: |$))*", row.said(last, at)))
    handled = pattern("{counts.noun}|{counts.nouns}|{counts.relight-noun}|{counts.flame}")
    return not any(True for _ in row.find(handled, last, at))


def stands_free(ground: Ground, number: Number) -> bool:
    """True where a figure stands alone: `two`, `two now`, `two in all`, not `two inches`."""
    row = ground.row
    if number.end >= len(row.words) or row.words[number.end].gap:
        return True
    if row.words[number.end].line != row.words[number.end - 1].line:
        return True
    after = row.said(number.end, number.end + 3)
    if _PLACE.match(after) and not re.match(r"(?:in (?:all|total|the end)|on the)", after):
        return False
    return bool(
        re.match(
            r"(?:now|so far|then|in all|in total|total|altogether|already|and|or|no|is|for "
            r"this|but|"
            r"with|not|well|wait|sorry|i|today|all told|mind|exactly|times|i'm|same|only|since|"
            r"that|though|because|if|which|after|properly|more like|today|both|all|just|only|"
            r"within|correction|as|the|my|we|you)\b",
            after,
        )
    )


def talk_of(
    ground: Ground, at: int, claims: list[Claim], mentions: Sequence[Mention]
) -> Tally | None:
    """What a bare figure counts: the handling spoken of just before, or right behind."""
    row = ground.row
    line = row.words[at].line
    before = [
        (c.end, c.kind) for c in claims if c.end <= at and line - c.line <= 2
    ] + [
        (m.end, m.kind) for m in mentions
        if m.end <= at and line - m.line <= 2 and m.mood in ("done", "none", "intent")
        and m.kind in ("touch-up", "relight") and m.sure > 0.5
    ]  # fmt: skip
    near = [b for b in before if at - b[0] <= 34]
    named = _named(ground, at)
    if near and named:
        return named
    if near:
        kind = max(near)[1]
        return "relight" if kind == "relight" else "touch-up"
    nouns = pattern("{counts.noun}|{counts.nouns}")
    if any(True for _ in row.find(nouns, max(at - 20, row.firsts[line]), at)):
        return "touch-up"
    known = any(m.kind == "touch-up" and m.line < line for m in mentions)
    doing = pattern(r"(?:did|done|doing) it|there done|again there|another")
    if known and any(True for _ in row.find(doing, row.firsts[line], at)):
        return "touch-up"
    behind = [m for m in mentions if 0 <= m.first - at <= 6 and m.line == line]
    if behind and behind[0].kind in ("touch-up", "relight"):
        return "relight" if behind[0].kind == "relight" else "touch-up"
    return None


def _named(ground: Ground, at: int) -> Tally | None:
    """The noun said last in the sentence of a figure: `I allow two touch-ups, so three is over`."""
    row = ground.row
    start = row.sentence(at, 14)[0]
    touch = [a for a, _, _ in row.find(pattern("{counts.noun}|{counts.nouns}"), start, at)]
    lit = pattern("{counts.relight-noun}|{counts.relight-nouns}")
    relight = [a for a, _, _ in row.find(lit, start, at)]
    if not touch and not relight:
        return None
    return "touch-up" if max(touch, default=-1) > max(relight, default=-1) else "relight"
