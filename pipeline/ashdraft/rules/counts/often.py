"""Totals told as a frequency: `touched it up twice so far`, `in all I relit it once`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from ..ground import Ground
from ..phrases import pattern
from .model import Claim, Mention, Reach

_TIMES = {
    "never": 0, "not at all": 0, "not once": 0, "no times": 0, "zero times": 0,
    "once": 1, "one time": 1, "the once": 1, "the one time": 1, "a single time": 1,
    "twice": 2, "the twice": 2, "two times": 2, "a couple of times": 2, "both times": 2,
    "the two times": 2, "the three times": 3, "thrice": 3,
    "three times": 3, "four times": 4, "five times": 5, "six times": 6,
    "seven times": 7, "eight times": 8,
}  # fmt: skip
_OFTEN = "(?P<n>" + "|".join(sorted(_TIMES, key=len, reverse=True)) + ")"
_CUES: tuple[tuple[str, Reach], ...] = (
    ("{counts.outright}", "whole"),
    ("{counts.running}", "so far"),
)
_DOUBTED = re.compile(
    r"\b(?:telling (?:people|you|everyone|them)|been saying|"
    r"(?<!all )told (?:\w+ ){1,2}|i (?:thought|had it down|"
    r"had (?:it )?written|wrote|said|nearly said|almost said|was going to say)|"
    r"notes (?:say|said)|in my notes|on (?:the|my) (?:card|page|sheet|pad))\b"
)
"""Before a total: it is about to be put right."""

_AROUND = 12
"""Words on either side of a figure within which a cue belongs to it, where no stop is heard."""

_ACROSS = 5
"""The same across the end of a line, which may be a breath in the middle of a sentence."""


@cache
def _behind() -> re.Pattern[str]:
    return pattern(rf"(?:(?:up|just|only|exactly|again|it|her|him|precisely|a total of) )*{_OFTEN}")


@cache
def _ahead() -> re.Pattern[str]:
    return pattern(
        rf"(?:that 's|that makes|that makes it|makes it|so|it 's|now|only|just) "
        rf"(?:only |just |now )?{_OFTEN}(?: now)?(?: that)?(?: i| we)?(?: 've| have| had)?"
    )


def reach_of(ground: Ground, first: int, end: int) -> Reach:
    """What a figure in words `first` to `end` covers, by the words beside it in its sentence."""
    row = ground.row
    start, stop = row.sentence(first, 2 * _AROUND)
    near_start, near_stop = row.line_words(row.words[first].line)
    start = max(start, first - _AROUND, min(near_start, first - _ACROSS))
    stop = min(stop, end + _AROUND, max(near_stop, end + _ACROSS))
    doubted = _DOUBTED.search(row.said(max(start, first - 7), first))
    for cue, reach in _CUES:
        for a, b, _ in row.find(pattern(cue), start, stop):
            if not (ground.scope.elsewhere(a, b) or (a < first and doubted)):
                return reach
    return "plain"


def told_often(ground: Ground, found: Sequence[Mention]) -> tuple[list[Mention], list[Claim]]:
    """Take out, as totals, the handlings told as a frequency over the stick so far."""
    kept: list[Mention] = []
    again: list[Mention] = []
    totals: list[Claim] = []
    for mention in sorted(found, key=lambda m: m.first):
        total = _total(ground, mention, totals)
        if total is None:
            kept.append(mention)
            continue
        totals.append(total)
        if _also_new(ground, mention, total):
            again.append(replace(mention, times=1))
    spans = [(t.first, t.end, t.kind) for t in totals]
    kept = [
        m for m in kept
        if not any(a <= m.first < b and m.kind == kind for a, b, kind in spans)
    ] + again  # fmt: skip
    unique = {(t.kind, t.first): t for t in totals}
    return sorted(kept, key=lambda m: (m.first, -m.end)), list(unique.values())


def _total(ground: Ground, mention: Mention, before: Sequence[Claim]) -> Claim | None:
    row = ground.row
    kind = mention.kind
    first, end = mention.first, mention.end
    asked = row.said(first - 2, first) in ("did i", "have i", "did we", "have we")
    if kind not in ("touch-up", "relight") or not (asked or mention.mood in ("done", "none")):
        return None
    hit = next(iter(row.find(_behind(), end, min(end + 6, len(row.words)))), None)
    if hit and hit[0] == end:
        value, end = _TIMES[hit[2]["n"]], hit[1]
        if _goes_on(ground, end):
            return None
        head = first
    else:
        head = max(first - 8, row.sentence(first, 10)[0], 0)
        led = [h for h in row.find(_ahead(), head, first) if h[1] == first]
        if not led:
            return None
        value, head = _TIMES[led[-1][2]["n"]], led[-1][0]
    if mention.mood == "none" and value and not asked:
        return None
    reach = "whole" if asked else reach_of(ground, head, end)
    if reach == "plain":
        joined = _joined(ground, head, before)
        if value and not joined and not _led_by_sum(ground, head, first):
            return None
        reach = "whole" if joined else "so far"
    return Claim(kind, value, row.words[head].line, head, end, reach)


def _goes_on(ground: Ground, end: int) -> bool:
    """`touched it up once more`, `once it leaned`: no frequency over the stick."""
    row = ground.row
    if end >= len(row.words) or row.words[end].gap:
        return False
    if row.words[end].line != row.words[end - 1].line:
        return False
    more = "more again over it before i when while there just on".split()
    return row.words[end].lower in more and reach_of(ground, end - 1, end + 2) != "whole"


def _led_by_sum(ground: Ground, head: int, first: int) -> bool:
    """`That's twice I've touched it up`, `no, sorry, I've only touched it up twice`."""
    row = ground.row
    said = row.said(head, first)
    if re.match(r"(?:that 's|that makes|makes it|it 's)\b", said):
        return True
    start = row.sentence(head, 24)[0]
    before = row.said(start, first)
    figure = any(True for _ in ground.numbers_in(start, head))
    mends = r"\b(?:no|wait|sorry|correction|scratch that|i mean|rather|only|doesn't|does not)\b"
    return figure and bool(re.search(mends, before))


def _also_new(ground: Ground, mention: Mention, total: Claim) -> bool:
    """`Touched it up again, twice so far`: done once more, and counted."""
    row = ground.row
    if total.reach == "whole" or total.end <= mention.end or mention.mood != "done":
        return False
    apart = any(row.words[n].gap for n in range(mention.end, total.end))
    return apart or "again" in row.said(mention.end, total.end).split()


def _joined(ground: Ground, head: int, before: Sequence[Claim]) -> bool:
    """`... touched it up three times, and relit it once`: in one breath with a total."""
    row = ground.row
    start = row.sentence(head, 20)[0]
    return any(c.first >= start and c.reach == "whole" for c in before)


def widened(ground: Ground, claims: Sequence[Claim]) -> list[Claim]:
    """Claims with what their sentence says that they cover; parts of a third stay parts."""
    return [
        replace(c, reach=reach_of(ground, c.first, c.end)) if c.reach == "plain" else c
        for c in claims
    ]
