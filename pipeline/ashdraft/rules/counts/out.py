"""The stick goes out: what is lit after that is a relight and no touch-up."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from ..ground import Ground
from ..phrases import any_of, pattern
from .handling import how_often
from .model import Mention
from .mood import mood

_REACH = 45
"""Words within which a flame after `it's out` belongs to it."""

_LINES = 5
_SUBJECTS = frozenset(
    "it she he this that cigar stick thing one robusto toro corona gordo lancero churchill baby "
    "girl beast fella lad and but then so which what 's foot coal ember cherry end yin bugger "
    "second time because if when again".split()
)
_SKIP = frozenset(
    "has had have 's is was just then finally already really actually now completely properly "
    "almost nearly did not never went gone goes go being has 'd bloody only also all stone clean "
    "straight right been getting got about going to be does do will would 'll might could".split()
)


_DEAD = frozenset("straight even level centre center on easy right flat good simple slow".split())
"""Behind `dead` these make it no more than `quite`."""


def find_out(ground: Ground) -> list[tuple[int, int]]:
    """Words (first, end) that say that this stick did go out."""
    row = ground.row
    found: list[tuple[int, int]] = []
    for first, end, match in row.find(pattern("{counts.out}")):
        if found and first < found[-1][1]:
            continue
        at = first
        while (
            at > 0 and first - at < 5 and not row.words[at].gap and row.words[at - 1].lower in _SKIP
        ):
            at -= 1
        before = row.words[at - 1].lower if at else ""
        new_line = at == 0 or row.words[at].gap > 0 or row.words[at].line != row.words[at - 1].line
        if (
            not new_line
            and before not in _SUBJECTS
            and not (match[0].startswith(("it ", "no ")) or match[0].endswith("foot"))
        ):
            continue
        if match[0] == "dead" and row.said(end, end + 1) in _DEAD:
            continue
        if row.said(end, end + 3).startswith(("of", "for a", "to the", "and buy", "there", "easy")):
            continue
        if mood(ground, first, end, deed=False) != "done" or _not_quite(ground, at, first, end):
            continue
        found.append((first, end))
    return found


_RECAP = re.compile(
    r"\b(?:the|that) (?:one |only |first |other |last )?time(?: that)?(?: it| she| he)?$"
)
"""Before `went out` these look back at it: `and then the one time it went out`."""


def _not_quite(ground: Ground, start: int, first: int, end: int) -> bool:
    """`it like to went out`, `nearly out`, `going out on me`, `is it out?`."""
    row = ground.row
    before = row.said(max(start - 4, 0), first)
    if re.search(r"\b(?:nearly|almost|all but|like to|never|not|if|wo|without|thought|threaten|"
                 r"before|until|unless|when|whether|about to|has it|is it|did it|keep it from)\b",
                 before):  # fmt: skip
        return not re.search(r"\bbefore i\b", before)
    if _RECAP.search(before):
        return True
    return bool(re.match(r"(?:almost|nearly|or not|yet)\b", row.said(end, end + 2)))


def settle_out(ground: Ground, mentions: Sequence[Mention]) -> list[Mention]:
    """Turn a flame after `it's out` into a relight; add lightings that say no more than `lit it`.

    An `out` that no lighting follows stays as a weak mention of a relight (`sure` 0.4): in a
    narration it may be all that is told.
    """
    row = ground.row
    settled = list(mentions)
    for first, end in find_out(ground):
        if ground.scope.elsewhere(first, end):
            continue
        line = row.words[first].line
        stop = min(end + _REACH, row.firsts[min(line + _LINES, len(row.lines))])
        sentence = row.sentence(first, 20)[0]
        near = [m for m in settled if sentence <= m.first < stop]
        if any(m.kind == "relight" and m.mood in ("done", "none", "near") for m in near):
            continue
        flame = next((m for m in near if _a_flame(ground, m)), None)
        if flame:
            settled[settled.index(flame)] = replace(flame, kind="relight")
            continue
        hit = _lighting(ground, end, stop)
        if hit:
            settled.append(
                Mention("relight", row.words[hit[0]].line, hit[0], hit[1], "done", sure=0.8)
            )
        else:
            times = how_often(ground, end)
            settled.append(Mention("relight", line, first, end, "done", times=times, sure=0.4))
    return sorted((_renamed(ground, m) for m in settled), key=lambda m: m.first)


def _renamed(ground: Ground, mention: Mention) -> Mention:
    """`That's a touch-up, no, that's a relight`: the word put right."""
    mended = pattern(
        r"(?:no|wait|sorry|or|rather|well|scratch that|correction|i mean)(?: [^ ]+){0,4} "
        r"{counts.relight-noun}(?! and)"
    )
    after = ground.row.said(mention.end, mention.end + 8)
    touch = mention.kind == "touch-up" and mention.mood == "done"
    if touch and mended.match(after) and not re.search(r"\bno (?:the )?relight|\bnot\b", after):
        return replace(mention, kind="relight")
    return mention


def _a_flame(ground: Ground, mention: Mention) -> bool:
    """True for a touch-up that is not called one: it may be a relight."""
    named = pattern(any_of("counts.noun") + "|touch(?:ed|ing)? (?:[^ ]+ )?up")
    said = ground.row.said(mention.first, mention.end)
    return mention.kind == "touch-up" and mention.mood == "done" and not named.search(said)


def _lighting(ground: Ground, first: int, end: int) -> tuple[int, int] | None:
    """Words behind an `out` that say it burns again: `lit it`, `it's back`, `two matches`."""
    row = ground.row
    shapes = (
        r"(?:lit|light|lighted|lighting|fired|sparked|started|torched)(?: it| her| him)?(?: up)?|"
        r"(?:it|she|he)(?: 's| is) (?:lit|alight|going|back|burning|drawing|away|on again)|back on|"
        r"(?:i|we)(?: have|'ve)? got (?:it|her|him) (?:going|lit|back)|(?:going|lit) (?:now|again)",
        r"(?:one|two|three|a|another|the|with) (?:[^ ]+ )?(?:match|matches|lighter|torch|flame)"
        r"(?: and| to it|$)",
        r"(?:(?:with|the|a) )*(?:fire|flame|lighter|torch|match)(?: to it)? again",
    )
    for shape in shapes:
        for a, b, _ in row.find(pattern(shape), first, end):
            if mood(ground, a, b, deed=False) == "done":
                return a, b
    return None
