"""Handlings told by pointing at them: `the second was near the end`, `had to hit it again`."""

from __future__ import annotations

import re
from functools import cache

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP
from .model import Tally
from .mood import given_up
from .places import ORDER

_COUNTED = {"two": 2, "three": 3, "both": 2, "a couple": 2}
_AT = r"(?:right |just |way |back |still )*(?:in|at|near|during|towards|around|by)"
_PART = (
    r"(?: (?:the |that |its |my )?(?:very )?(?:first|second|third|last|final|middle|end|start|"
    r"beginning|nub|half|opening|bottom|top|close)\b)"
)
_CAME = r"(?:was|were|came|happened|fell|followed|being)"
_WHICH = r"(?: of (?:them|those|these))?"


@cache
def _pointing() -> re.Pattern[str]:
    return pattern(
        r"the (?:one|third|fourth|second|last|other|missing one)(?: that)? i(?: 'd| had)? "
        r"(?:forgotten|forgot|missed|left out|skipped|never (?:mentioned|told|counted|logged)|"
        rf"did not (?:mention|count|log))(?: {_CAME} {_AT})?|"
        r"(?:the )?(?:first|second|third|fourth|other|last|next|latter|former)(?: one| touch up| "
        rf"correction| time)? {_CAME} {_AT}(?={_PART}| on)|"
        rf"(?:the |and )?(?:one|first|second|other|last){_WHICH} {_CAME} "
        r"(?:right |quite |very |pretty )*(?:early|late)(?: on)?|"
        rf"(?:one|two|three|both|a couple){_WHICH} {_CAME} (?:right |just )*"
        rf"(?:in|at|near|during|towards)(?={_PART})|"
        r"(?:once more|once again|again|another(?: one)?|one more|the same again|a second one) "
        rf"{_AT}(?={_PART})|"
        r"there (?:was|were) (?:another|one more|a second|a third)(?: one)?(?! (?:thing|note|"
        r"story))|"
        r"(?:wanted|needed|got|(?<!it )did|gave it|took|asked for|had|required) "
        r"(?:the same|another|one more|it|another one|that)(?: treatment| medicine| thing)?"
        r"(?: again| once more| a second time)|"
        r"(?:wanted|needed|required|asked for) (?:another|one more)"
        r"(?= (?:and|so|too|as|at|in|on|near|later|then)\b|$)"
    )


@cache
def _listed() -> re.Pattern[str]:
    """At the head of a sentence, without a verb: `First one at eight minutes`."""
    ordinal = r"(?:first|second|third|fourth|last|next)"
    return pattern(
        rf"(?:the |and )*{ordinal}(?: one)?(?P<more> and (?:the )?{ordinal}(?: one)?)? "
        r"(?:at|in|near|around|after|towards|about|by|on)"
    )


@cache
def _once_more_there() -> re.Pattern[str]:
    """`Last third, same side, one more time`: a place and no verb."""
    named = "|".join(f"(?P<p{third}>{words})" for third, words in ORDER.items())
    filler = r"(?: (?:and|then|the|same|on|it|had|to|again|side|spot|edge|left|right|was|just))*"
    return pattern(
        rf"(?:(?:and|then|again) )*(?:(?:in|at|near|towards) )?(?:the |my )?(?:{named}){filler} "
        r"(?:as well|too|likewise|one more time|once more|once again|the same again|"
        r"same again|same thing again|"
        r"another one|and another|another go)"
    )


def pointed(ground: Ground) -> list[tuple[Tally, int, int, int, bool]]:
    """Kind, words (first, end), how often and whether told late, for each handling pointed at."""
    row = ground.row
    relight = pattern("{counts.relit}|{counts.relight-noun}|{counts.relight-nouns}")
    touch = pattern(
        "{counts.noun}|{counts.nouns}|{counts.flame}|up|touched|touch|corrected|fixed|correct"
    )
    found: list[tuple[Tally, int, int, int, bool]] = []
    for first, end, match in row.find(_pointing()):
        start = max(first - 40, 0)
        lit = max((a for a, _, _ in row.find(relight, start, first)), default=-1)
        touched = max((a for a, _, _ in row.find(touch, start, first)), default=-1)
        aside = ground.scope.elsewhere(first, end) or given_up(ground, end)
        if max(lit, touched) < 0 or aside:
            continue
        times = next((n for w, n in _COUNTED.items() if re.match(rf"{w}\b", match[0])), 1)
        late = "forg" in match[0] or "miss" in match[0]
        found.append(("relight" if lit > touched else "touch-up", first, end, times, late))
    for first, end, _ in row.find(_once_more_there()):
        ends = end == len(row.words) or row.words[end].gap or (
            row.words[end].line != row.words[end - 1].line
        )  # fmt: skip
        opens = first == 0 or row.words[first].gap or (
            row.words[first].line != row.words[first - 1].line
        )  # fmt: skip
        near = any(True for _ in row.find(touch, max(first - 20, 0), first))
        if ends and opens and near and not ground.scope.elsewhere(first, end):
            found.append(("touch-up", first, end, 1, False))
    nouns = pattern("{counts.noun}|{counts.nouns}")
    for first, end, match in row.find(_listed()):
        opens = first == 0 or row.words[first].gap == STOP
        near = any(True for _ in row.find(nouns, max(first - 24, 0), first))
        if opens and near and not ground.scope.elsewhere(first, end):
            found.append(("touch-up", first, end, 2 if match["more"] else 1, False))
    return found


def hit_again(ground: Ground) -> list[tuple[int, int]]:
    """`had to hit her again`, where a flame was spoken of just before."""
    row = ground.row
    hits = pattern(
        r"(?:hit|get|got|go at|went at|gone at|(?:get|got|go|went|be|been|come|came) (?:back "
        r")?(?:on|at|"
        r"over|round|to|in at)|see to|saw to|seen to|zap|zapped|tickle|tickled|(?<=i )do|(?<=i "
        r")did) "
        r"(?:it|her|him) (?:again|there|once more|one more time|a second time)"
    )
    flame = pattern("{counts.flame}|{counts.noun}")
    return [
        (first, end) for first, end, _ in row.find(hits)
        if any(True for _ in row.find(flame, max(first - 34, 0), first))
    ]  # fmt: skip
