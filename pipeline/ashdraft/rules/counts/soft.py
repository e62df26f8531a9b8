"""Touch-ups in a speaker's own words: something done to the stick, with a flame or while it runs.

"I've touched it, there", "I attended to it", "so a little flame, done": no word of these means
a touch-up by itself, but together with a crooked burn or a running total they do.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..ground import Ground
from ..phrases import any_of, pattern
from .model import Claim, Mention
from .mood import mood

SURE = 0.6
"""How sure such a mention is: enough where the line is about the burn of a live recording."""

_OTHER_VERBS = (
    "let|left|leave|smoked|lit|relit|watched|saw|turned|rotated|tapped|held|dropped|cut|bought|kept|"
    "pulled|puffed|drew|thought|said|called|noticed|mentioned|expected|measured|checked|told|liked|"
    "loved|wanted|rested|laid|got|tasted|smelled|felt|found|timed|weighed|needed|missed|passed|"
    "moved|picked|set|wrote|noted|marked|counted|blamed|forgave|heard|remembered|forgot|put|made|"
    "chewed|finished|sent|caught|killed|stubbed|binned|tossed|ended|stopped|started|charted|logged"
)


def soft_touches(
    ground: Ground, mentions: Sequence[Mention], claims: Sequence[Claim]
) -> list[Mention]:
    """Further touch-ups that the words around them make likely."""
    row = ground.row
    thing = any_of("counts.object")
    does = pattern(
        r"(?:i|we)(?: 've| have| had| 'd| just| also| then| again| quickly| only| have to| had "
        r"to)* "
        rf"(?!(?:{_OTHER_VERBS}) )(?:[a-z]+ed|gave|went|hit|did|ran|saw) (?:to |at |over |round )?"
        rf"(?:{thing}|the (?:\w+ )?(?:side|edge|line|burn|part|portion|bit|corner|spot|lip))"
    )
    flame = pattern(
        r"(?:a|one|some|another|the|with|little|bit of|touch of|more) (?:[^ ]+ ){0,2}"
        r"(?:flame|torch|fire|heat|lighter|match)"
    )
    found = []
    taken = {m.line for m in mentions if m.kind in ("touch-up", "relight")}
    summed = {n for c in claims for n in range(c.first, c.end)}
    for shape, bare in ((does, False), (flame, True)):
        for first, end, _ in row.find(shape):
            line = row.words[first].line
            if line in taken or first in summed or end - 1 in summed:
                continue
            before = row.said(first - 6, first + 1)
            recalled = re.search(r"\bthe (?:one|time)(?: that| when)? i\b", before)
            if recalled or mood(ground, first, end) != "done":
                continue
            if _likely(ground, first, end, claims, bare=bare):
                taken.add(line)
                found.append(Mention("touch-up", line, first, end, "done", sure=SURE))
    return found


def _likely(ground: Ground, first: int, end: int, claims: Sequence[Claim], *, bare: bool) -> bool:
    """Two of three: done said behind it, trouble before it, a running total behind it."""
    row = ground.row
    line = row.words[first].line
    start, stop = row.firsts[max(line - 3, 0)], row.line_words(line)[1]
    after = row.said(end, min(end + 9, stop))
    done = any(True for _ in row.find(pattern("{counts.done}"), end, min(end + 7, stop)))
    if re.search(
        r"\b(?:in (?:my|the) hand|ready|out|back in|away|myself|itself|by themselves)\b", after
    ):
        return False
    trouble = any(True for _ in row.find(pattern("{counts.trouble}"), start, stop))
    total = any(
        c.kind == "touch-up" and 0 <= c.line - line <= 1 and c.first >= first for c in claims
    )
    fire = bare or any(True for _ in row.find(pattern("{counts.flame}"), first, stop))
    side = bool(re.search(r"\b(?:side|edge|portion|spot|line)\b", after))
    touched = ground.row.words[end - 2].lower == "touched" if end - first > 1 else False
    if touched and (side or done) and not bare:
        return True
    return done + trouble + total + (fire and not bare) >= 2 and (done or total or not bare)
