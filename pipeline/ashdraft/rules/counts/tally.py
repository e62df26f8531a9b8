"""Sorts what was told of touch-ups and relights: one by one, by third, or as a sum."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from ..ground import Ground
from ..numbers import ORDINALS
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP
from .model import Candidates, Claim, Mention, Tally
from .places import ORDER, place_in
from .reconcile import Told

_SUM = re.compile(
    r"\b(?:in total|total|altogether|all told|in all|the count|final count|tally|makes|sum|overall|"
    r"for the whole|the whole|so for|all in all|all up|everything|add|adds|tot|"
    r"reads|shows|reading)\b"
)
_HERE = re.compile(r"\b(?:there(?! (?:was|is|were|are|'s))|here|in that|in this|at that|in the "
    r"(?:first|second|third|last|final|"
                   r"middle)|by then|at this)\b")  # fmt: skip


_DOUBTED = re.compile(
    r"\b(?:telling (?:people|you|everyone|them)|been saying|i (?:thought|had it down|had (?:it )?"
    r"written|wrote|said|nearly said|almost said|was going to say)|notes (?:say|said))\b"
)
"""Before a total: it is about to be put right."""


def with_implied(ground: Ground, found: Candidates) -> Candidates:
    """Add handlings that only their running total tells: `There, done, so that's one touch-up`."""
    row = ground.row
    done = pattern("{counts.done}")
    added: list[Mention] = []
    started = min((m.line for m in found.mentions if m.kind == "lit" and m.sure == 1), default=0)
    for claim in found.claims:
        if claim.kind != "touch-up" or claim.value < 1:
            continue
        handled = [m for m in (*found.mentions, *added) if m.kind in ("touch-up", "relight")]
        just = [m for m in handled if m.mood == "done" and claim.line - 2 < m.line <= claim.line]
        first, end = row.line_words(claim.line)
        ordinal = row.words[claim.first].lower in ORDINALS
        finished = ordinal or any(True for _ in row.find(done, first, max(claim.first, first + 1)))
        next_one = claim.value == 1 + sum(
            m.times for m in handled if m.mood == "done" and m.kind == "touch-up"
            and started <= m.line < claim.line
        )  # fmt: skip
        if any(m.line == claim.line or not next_one for m in just):
            continue
        meant = any(m.mood == "intent" and 0 <= claim.line - m.line <= 4 for m in handled)
        again = re.search(r"\b(?:again|another|did it|doing it)\b", row.said(first, end))
        if finished and (meant or again or next_one):
            added.append(Mention("touch-up", claim.line, claim.first, claim.end, "done", sure=0.9))
    mentions = tuple(sorted((*found.mentions, *added), key=lambda m: m.first))
    return Candidates(mentions, found.claims, found.splits)


def gather(
    ground: Ground,
    placed: Sequence[Placed],
    found: Candidates,
    kind: Tally,
    *,
    live: bool,
    begin: int,
) -> tuple[list[Told], list[Claim]]:
    """What was told one by one, and the sums, of one kind, from line `begin` on."""
    told: list[Told] = []
    claims = [c for c in found.claims if c.kind == kind and c.line >= begin]
    mentions = [
        m for m in found.mentions if m.kind == kind and m.mood == "done" and m.line >= begin
    ]
    others = bool(claims) or len([m for m in mentions if m.sure >= 0.5]) > 1
    for mention in mentions:
        third = _third(ground, placed, mention, live=live)
        if not live and third is None:
            third = _led_up(ground, placed, mention)
        if not live and third is None and told and _once_more(ground, mention):
            third = _telling(placed, mention.line) or told[-1].third
        if others and (
            _sums_up(placed, mention, third, live=live) or _adds_up(ground, mention, told)
        ):
            line_claims = [c for c in claims if c.line == mention.line]
            if not line_claims:
                claims.append(Claim(kind, mention.times, mention.line, mention.first, mention.end))
            continue
        if live and _counts_on(ground, mention, told):
            line, times = mention.line, mention.times
            claims.append(Claim(kind, times, line, mention.first, mention.end, "so far"))
            if times == sum(t.times for t in told):
                continue
            mention = replace(mention, times=1)
        if mention.sure >= 0.5 or (not live and third):
            told.append(Told(mention, third))
    if not live:
        told, claims = _by_place(ground, placed, told, claims, found)
    return told, sorted(claims, key=lambda c: c.first)


def _counts_on(ground: Ground, mention: Mention, told: Sequence[Told]) -> bool:
    """`I've touched it up twice`, behind one or two touch-ups: a count, not two more."""
    row = ground.row
    perfect = bool({"'ve", "have"} & set(row.said(mention.first - 3, mention.first).split()))
    before = sum(t.times for t in told)
    here = re.search(r"\b(?:just now|there|here|each|sides?|both)\b",
                     row.said(mention.end, row.sentence(mention.end - 1, 12)[1]))  # fmt: skip
    return perfect and not here and mention.times > 1 and before in (
        mention.times, mention.times - 1,
    )  # fmt: skip


def _once_more(ground: Ground, mention: Mention) -> bool:
    """`Ten minutes on, touched up once more`: one more where the last one was."""
    words = ground.row.said(*ground.row.sentence(mention.first, 16))
    return bool(re.search(r"\b(?:again|once more|another|one more|later|minutes on)\b", words))


def _led_up(ground: Ground, placed: Sequence[Placed], mention: Mention) -> int | None:
    """`So I relit it`, behind `In the middle it went out`: in the third of the line before."""
    row = ground.row
    line = mention.line
    if not 0 < line < len(placed) or mention.times > 1:
        return None
    first, _ = row.line_words(line)
    before = placed[line - 1]
    trouble = pattern("{counts.trouble}|{counts.out}")
    told = any(True for _ in row.find(trouble, *row.line_words(line - 1)))
    opens = row.said(first, first + 1) in (
        "so",
        "and",
        "then",
        "i",
        "but",
        "which",
        "had",
        "needed",
    )
    return before.third if before.section == "burn" and told and opens else None


def _telling(placed: Sequence[Placed], line: int) -> int | None:
    """The third being told at a line of a narration."""
    current = placed[line].current if line < len(placed) else 0
    return current if 1 <= current <= 3 else None


def _adds_up(ground: Ground, mention: Mention, told: Sequence[Told]) -> bool:
    """`So it was corrected twice`, behind two corrections: the sum of them, not two more."""
    first, _ = ground.row.sentence(mention.first, 16)
    opens = ground.row.said(first, first + 1) in ("so", "that", "altogether")
    return opens and mention.times > 1 and mention.times == sum(t.times for t in told)


def _sums_up(placed: Sequence[Placed], mention: Mention, third: int | None, *, live: bool) -> bool:
    """True where a handling is told over the whole stick: `it was corrected twice`."""
    if mention.line >= len(placed) or mention.sure < 0.5:
        return False
    here = placed[mention.line]
    if live:
        return here.current == 4 and here.third is None and not mention.later
    return here.third is None and third is None


def _third(ground: Ground, placed: Sequence[Placed], mention: Mention, *, live: bool) -> int | None:
    """The third a handling happened in: as smoked then, as said beside it, or as placed."""
    words = ground.row.said(*_around(ground, mention))
    said = place_in(words)
    if mention.third:
        return mention.third
    behind = _right_behind(ground, mention)
    if behind and not live:
        return behind
    if mention.line >= len(placed):
        return said
    here = placed[mention.line]
    if live:
        now = here.current if 1 <= here.current <= 3 else None
        if mention.later:
            return said or here.third or now
        return now or here.third or said
    return _opening(ground, mention) or here.third or said


def _right_behind(ground: Ground, mention: Mention) -> int | None:
    """`relit once, in the last`: the place right behind a handling."""
    row = ground.row
    named = "|".join(f"(?P<p{third}>{words})" for third, words in ORDER.items())
    place = pattern(
        r"(?:(?:once|twice|thrice|two times|three times|right|just|again|only) )*"
        rf"(?:in|at|during|near|towards|on) (?:the |its |my )?(?:very )?(?:{named})"
    )
    hit = next(iter(row.find(place, mention.end, min(mention.end + 9, len(row.words)))), None)
    if hit is None or hit[0] != mention.end or row.words[mention.end].gap == STOP:
        return None
    return next(t for t in (1, 2, 3) if hit[2][f"p{t}"])


def _opening(ground: Ground, mention: Mention) -> int | None:
    """The third that a sentence opens with: `Middle two inches, it drifted, so I ...`."""
    first, _ = ground.row.sentence(mention.first, 24)
    if first and ground.row.words[first].gap < STOP:
        return None
    return place_in(ground.row.said(first, min(first + 5, mention.first)))


def _around(ground: Ground, mention: Mention) -> tuple[int, int]:
    """The words of a handling's sentence, and of the next where it is told afterwards."""
    row = ground.row
    first, end = row.sentence(mention.first, 24)
    goes_on = re.match(
        r"(?:that|it|this|which) (?:was|came|happened|fell)\b", row.said(end, end + 3)
    )
    if (mention.later or goes_on) and end < len(row.words):
        end = row.sentence(end, 16)[1]
    return first, end


def _by_place(
    ground: Ground,
    placed: Sequence[Placed],
    told: list[Told],
    claims: list[Claim],
    found: Candidates,
) -> tuple[list[Told], list[Claim]]:
    """In a narration a figure told of one third counts there and is no sum."""
    sums: list[Claim] = []
    local: dict[int, Claim] = {}
    kinds = {(c.line, c.kind) for c in found.claims}
    for claim in claims:
        third = placed[claim.line].third if claim.line < len(placed) else None
        first, end = ground.row.sentence(claim.first, 20)
        words = ground.row.said(first, end)
        third = third or place_in(words)
        both = all((claim.line, k) in kinds for k in ("touch-up", "relight"))
        here = bool(_HERE.search(ground.row.said(claim.end, claim.end + 4)))
        mended = re.search(r"\b(?:no|not|wait|sorry|rather)\b", ground.row.said(
            max(claim.first - 3, first), claim.first))  # fmt: skip
        heads = {ground.row.words[n].lower for n in (first, ground.row.firsts[claim.line])}
        opens = bool({"so", "altogether"} & heads) and claim.value > 1
        ordinal = ground.row.words[claim.first].lower in ORDINALS
        told_before = [t for t in told if t.mention.first < claim.first]
        in_all = (
            sum(t.times for t in told_before)
            == claim.value
            > sum(t.times for t in told_before if t.third == third)
        )
        doubted = bool(_DOUBTED.search(ground.row.said(max(claim.first - 7, 0), claim.first)))
        mended_here = any(
            c.kind == claim.kind and claim.end <= c.first < end for c in claims if c is not claim
        )
        if doubted and third and mended_here:
            continue  # "I wrote down two in the first third, but it was one"
        if (
            third is None
            or claim.reach in ("so far", "whole")
            or ordinal
            or in_all
            or doubted
            or (not here and (both or mended or opens or _SUM.search(words)))
        ):
            sums.append(claim)
        else:
            local[third] = claim
    for third, claim in local.items():
        here_told = [t for t in told if t.third == third]
        missing = claim.value - sum(t.times for t in here_told)
        if missing > 0:
            mention = Mention(
                claim.kind, claim.line, claim.first, claim.end, "done", times=missing, third=third
            )
            told.append(Told(mention, third))
    return sorted(told, key=lambda t: t.mention.first), sums
