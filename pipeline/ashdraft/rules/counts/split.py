"""Totals told by thirds: `both in the first third`, `one at the top, two in the middle`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP
from .model import Claim, Mention, Split, Tally
from .places import ORDER

_PLACE = "(?:" + "|".join(f"(?P<p{third}>{words})" for third, words in ORDER.items()) + ")"


def find_splits(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Split]:
    """Splits in the order said, each for the handling spoken of around it."""
    return sorted([*_listed(ground, claims, mentions), *_together(ground, claims, mentions)],
                  key=lambda s: s.line)  # fmt: skip


def _kind(
    ground: Ground, at: int, end: int, claims: list[Claim], mentions: Sequence[Mention]
) -> Tally | None:
    """What is counted: the handling last spoken of within two lines."""
    line = ground.row.words[at].line
    if "relight" in ground.row.said(at, end):
        return "relight"
    said = [(c.first, c.kind) for c in claims if c.first < end and line - c.line <= 2]
    said += [
        (m.first, m.kind) for m in mentions
        if m.first < end and line - m.line <= 2 and m.kind in ("touch-up", "relight")
        and m.mood == "done"
    ]  # fmt: skip
    nouns = pattern("{counts.noun}|{counts.nouns}")
    if not said:
        near = any(True for _ in ground.row.find(nouns, max(at - 20, 0), at))
        return "touch-up" if near else None
    return "relight" if max(said)[1] == "relight" else "touch-up"


def _listed(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Split]:
    """`one in the first third and two in the last`: two or more figures with their thirds."""
    row = ground.row
    part = pattern(
        r"(?P<n>one|two|three|four|five|none|nothing|a pair|once|twice|thrice|\d)(?: times)?"
        r"(?: of (?:them|those|these)| touch ups?| corrections?| "
        r"relights?| more| each)?(?: was| were| came| happened)?(?: right| just| early| late)? "
        r"(?:(?:at|in|on|near|during|towards|for|from|by) )?(?:the |my |its |that )?(?:very )?"
        rf"{_PLACE}(?: third| part)?"
    )
    values = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "none": 0, "nothing": 0,
              "a pair": 2, "once": 1, "twice": 2, "thrice": 3}  # fmt: skip
    parts: list[tuple[int, int, int, int, str]] = []
    for first, end, match in row.find(part):
        third = next(t for t in (1, 2, 3) if match[f"p{t}"])
        said = match["n"]
        count = int(said) if said.isdecimal() else values[said]
        if not ground.scope.elsewhere(first, end):
            noun = re.search(r"touch|correct|relight", match[0])
            parts.append((first, end, third, count, noun[0] if noun else ""))
    splits = []
    while parts:
        run = [parts.pop(0)]
        while (
            parts and parts[0][0] - run[-1][1] <= 6 and parts[0][4] in ("", run[0][4])
            and not _other_kind(row.said(run[-1][1], parts[0][0]))
        ):  # fmt: skip
            run.append(parts.pop(0))
        thirds = [r[2] for r in run]
        if len(set(thirds)) < len(thirds):
            continue
        kind = _kind(ground, run[0][0], run[-1][1], claims, mentions)
        alone = len(run) == 1 and not _sums_to(ground, run[0][0], run[0][3], kind, claims)
        if kind and not alone:
            counts = {third: count for _, _, third, count, _ in run}
            by = (counts.get(1, 0), counts.get(2, 0), counts.get(3, 0))
            splits.append(Split(kind, by, row.words[run[0][0]].line))
    return splits


def _other_kind(between: str) -> bool:
    """True where the words between two figures turn to another handling."""
    return bool(re.search(r"\b(?:relit|relights?|touched|touch ups?|corrected|lit)\b", between))


def _sums_to(
    ground: Ground, at: int, count: int, kind: Tally | None, claims: Sequence[Claim]
) -> bool:
    """True where the total before a single part, in its sentence, is all in that part."""
    start = ground.row.sentence(at, 20)[0]
    totals = [c for c in claims if c.kind == kind and start <= c.first < at and c.reach != "part"]
    return bool(totals) and totals[-1].value == count > 0 and totals[-1].end <= at


def _each_named(ground: Ground, claim: Claim) -> tuple[int, int, int] | None:
    """`two touch-ups, first third and last third`: as many thirds named as handlings."""
    row = ground.row
    place = pattern(
        rf"(?:(?:and|in|at|on|during|the|then|one|once|again|two|three|times|twice) )*"
        rf"{_PLACE}(?: third)?"
    )
    by = [0, 0, 0]
    at = claim.end
    while sum(by) <= claim.value:
        hit = next(iter(row.find(place, at, min(at + 8, len(row.words)))), None)
        if hit is None or hit[0] != at or row.words[at].gap == STOP:
            break
        if row.words[hit[1] - 1].line != claim.line or row.said(hit[1], hit[1] + 1) == "of":
            break
        third = next(t for t in (1, 2, 3) if hit[2][f"p{t}"])
        by[third - 1] += 1
        at = hit[1]
    named = 0 < sum(by) == claim.value and max(by) == 1
    return (by[0], by[1], by[2]) if named else None


def _together(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Split]:
    """`both in the second third`, `all three at the end`, `one in each third`."""
    row = ground.row
    splits = []
    both = pattern(
        r"(?P<n>both|the two|all two|all three|all four|all of them|the pair|the lot|all)(?: "
        r"of (?:them|"
        r"those|these))?(?: times)?(?: was| were| came| fell| happened| being)?(?: right| just)? "
        rf"(?:in|at|during|on|near|towards) (?:the |that |my )?(?:very )?{_PLACE}"
    )
    values = {"both": 2, "the two": 2, "all two": 2, "all three": 3, "all four": 4, "the pair": 2}
    for first, end, match in row.find(both):
        if ground.scope.elsewhere(first, end):
            continue
        kind = _kind(ground, first, end, claims, mentions)
        third = next(t for t in (1, 2, 3) if match[f"p{t}"])
        line = row.words[first].line
        last = [c.value for c in claims if c.kind == kind and c.line <= line and c.first < first]
        count = values.get(match["n"]) or (last[-1] if last else 0)
        if kind and count:
            by = tuple(count if t == third else 0 for t in (1, 2, 3))
            splits.append(Split(kind, (by[0], by[1], by[2]), line))
    there = pattern(
        rf"(?:(?:right|just|and|that was|it was|way|back) )*(?:in|at|during|on|near|towards) "
        rf"(?:the |that |my )?(?:very )?{_PLACE}"
    )
    for claim in claims:
        hit = next(iter(row.find(there, claim.end, min(claim.end + 8, len(row.words)))), None)
        if claim.reach in ("so far", "whole") and claim.value and hit and hit[0] == claim.end:
            third = next(t for t in (1, 2, 3) if hit[2][f"p{t}"])
            by = tuple(claim.value if t == third else 0 for t in (1, 2, 3))
            splits.append(Split(claim.kind, (by[0], by[1], by[2]), claim.line))
    counted = [c for c in claims if c.reach != "part"]
    for m in mentions:
        if m.times > 1 and m.mood == "done" and m.kind in ("touch-up", "relight"):
            tally: Tally = "relight" if m.kind == "relight" else "touch-up"
            counted.append(Claim(tally, m.times, m.line, m.first, m.end))
    for claim in counted:
        if named := _each_named(ground, claim):
            splits.append(Split(claim.kind, named, claim.line))
    each = pattern(r"one (?:in|for|to|per) (?:each|every)(?: of the)? (?:third|thirds|part|stage)|"
                   r"one per third|one a third|one each third")  # fmt: skip
    for first, end, _ in row.find(each):
        kind = _kind(ground, first, end, claims, mentions)
        if kind and not ground.scope.elsewhere(first, end):
            splits.append(Split(kind, (1, 1, 1), row.words[first].line))
    return splits
