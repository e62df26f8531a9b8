"""Spoken totals: `two touch-ups, no, three`, `that makes two`, `no relights`, `three and one`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from ..ground import Ground
from ..numbers import ORDINALS, Number
from ..phrases import any_of, pattern
from ..stream import STOP
from .denied import denied
from .figures import claim_at, marked, stands_free, talk_of, whole
from .model import Claim, Mention, Tally
from .often import widened
from .places import ORDER
from .within import relights_within

_ADJECTIVES = (
    r"(?:little |small |proper |quick |more |single |measly |tiny |wee |whole |separate |actual |"
    r"full |real |minor |clean |honest |bloody |burn |recorded |of (?:them|those|these) )*"
)


def find_claims(
    ground: Ground, mentions: Sequence[Mention], often: Sequence[Claim], own_nouns: str = ""
) -> list[Claim]:
    """Totals in the order said; each figure of a correction is a claim of its own.

    `often` are the totals told as a frequency; `own_nouns` matches the speaker's own nouns for a
    touch-up.
    """
    found: dict[int, Claim] = {}
    noun = any_of("counts.noun", "counts.nouns")
    own = f"|{own_nouns}" if own_nouns else ""
    noun = rf"(?:{noun}|(?:times|goes|turns) with (?:the|my) (?:lighter|torch|flame){own})"
    for claim in (
        *often,
        *_counted(ground, "touch-up", noun),
        *_counted(ground, "relight", any_of("counts.relight-noun", "counts.relight-nouns")),
        *denied(ground),
        *_each_kind(ground),
    ):
        if not _aside(ground, claim):
            found.setdefault(claim.first, claim)
    claims = sorted(found.values(), key=lambda c: c.first)
    claims += _of_thirds(ground, claims, mentions)
    claims += _running(ground, claims, mentions)
    claims += _ordinals(ground, claims, mentions)
    claims = widened(ground, claims)
    claims += _corrected(ground, sorted(claims, key=lambda c: c.first))
    claims += _pairs(ground, sorted(claims, key=lambda c: c.first))
    claims += relights_within(ground, sorted(claims, key=lambda c: c.first))
    unique = {(c.first, c.kind): c for c in reversed(claims)}
    return sorted(unique.values(), key=lambda c: (c.first, c.kind))


def _aside(ground: Ground, claim: Claim) -> bool:
    return ground.scope.elsewhere(claim.first, claim.end) or bool(ground.scope.habit[claim.first])


def _counted(ground: Ground, kind: Tally, noun: str) -> list[Claim]:
    """`two touch-ups`, `touch-ups two`, `the one relight`, `touch-up number one`."""
    row = ground.row
    claims = []
    after = pattern(rf"{_ADJECTIVES}{noun}")
    for number in ground.numbers:
        value = whole(number)
        if value is None:
            continue
        hit = next(iter(row.find(after, number.end, number.end + 8)), None)
        more = row.said(number.end, number.end + 1) in ("more", "further", "other", "of", "extra")
        more = more or row.said(number.first - 1, number.first) in ("not", "n't")
        if hit and hit[0] == number.end and not more and not row.words[hit[0]].gap:
            if _listed_before(ground, number) or (
                value > 1 and row.said(hit[0], hit[1]) == "correction"
            ):  # "that makes three, correction, two"
                continue
            claims.append(claim_at(ground, kind, value, number.first, hit[1]))
    behind = pattern(rf"{noun}(?: number| count| total|,)?")
    for first, end, _ in row.find(behind):
        value = whole(ground.starts.get(end))
        if value is None or row.said(first - 1, first) in ("a", "another", "one", "two", "three"):
            continue
        number = ground.starts[end]
        nxt = row.said(number.end, number.end + 1)
        counted = first in {c.end for c in claims}
        if nxt in ("touch", "relight", "relights", "correction") and not row.words[number.end].gap:
            if not _listed_before(ground, number):
                continue
        elif not stands_free(ground, number):
            continue
        if counted:
            continue
        if row.words[end].gap == STOP and row.words[end].line != row.words[first].line:
            continue
        claims.append(claim_at(ground, kind, value, first, number.end))
    pair = pattern(rf"(?:a pair|a couple|couple)(?: of)? {noun}")
    claims += [claim_at(ground, kind, 2, a, b) for a, b, _ in row.find(pair)]
    single = pattern(
        rf"(?<!not )(?:(?:just|only|but|still|and) )?(?:the|a) (?:single|solitary|lone|sole|"
        rf"only) {noun}"
    )
    no = re.compile(r"\b(?:not|never|without|nor|hardly)(?: \w+){0,3}$")
    claims += [
        claim_at(ground, kind, 1, a, b)
        for a, b, _ in row.find(single)
        if not no.search(row.said(a - 4, a))
    ]
    if kind == "relight":
        lone = pattern(r"(?:and|plus|with) (?:the|a) {counts.relight-noun}")
        claims += [claim_at(ground, kind, 1, a, b) for a, b, _ in row.find(lone)]
    return claims


def _listed_before(ground: Ground, number: Number) -> bool:
    """True in `touch-ups two, relights one`, where the figure belongs to the noun before it."""
    row = ground.row
    if row.words[number.first].gap:
        return False
    nouns = pattern("{counts.noun}|{counts.nouns}|{counts.relight-noun}|{counts.relight-nouns}")
    for first, end, _ in row.find(nouns, max(number.first - 3, 0), number.first):
        if end == number.first:
            before = ground.starts.get(first - 1)
            none = row.said(first - 1, first) in ("no", "zero", "nil", "without", "not")
            return not none and not (before and before.end == first)
    return False


def _each_kind(ground: Ground) -> list[Claim]:
    """`one of each`: a touch-up and a relight."""
    return [
        Claim(kind, 1, ground.row.words[a].line, a, b)
        for a, b, _ in ground.row.find(pattern(r"one of each|one apiece of each"))
        for kind in ("touch-up",)
    ] + [
        Claim("relight", 1, ground.row.words[a].line, a + 1, b)
        for a, b, _ in ground.row.find(pattern(r"one of each|one apiece of each"))
    ]


_THIS_HAD = r"this (?:one|stick|cigar)(?: only| just)? (?:had|took|needed|wanted|got|asked for)"


def _running(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Claim]:
    """Figures without a noun: `that's two`, `so, three`, `number one`, where the talk is of it."""
    row = ground.row
    lead = pattern(
        r"(?:that|this|it|which)(?: 's| is| was| makes| make| made| 'd be| 'd make| would be| "
        r"brings)"
        r"(?: it| that| us| me)?(?: to| at)?(?: only| just| now| about)*|(?:so|and) (?:that "
        r")?makes?"
        r"(?: it| that)?|makes(?: it| that| them)?|make it|make that|call it|"
        r"so(?: it 's)?|number|we 're (?:at|on|up to)|i 'm (?:at|on|up to)|up to|"
        r"(?:tally|count|total)(?: 's| is| was| stands| comes)?(?: at| to| of)?|"
        r"so far|had the|needed the|only the|just the|i make it|what|counting|"
        r"(?:register|ledger|log|book|tally|score sheet)(?: 's| is)?(?: reading| reads| says)|"
        r"notes? (?:say|says)|that leaves|leaves|in all"
    )
    ends = {b for _, b, _ in row.find(lead)}
    mine = {b for _, b, _ in row.find(pattern(_THIS_HAD))}
    summed = {a for a, _, _ in row.find(pattern("in all|in total|altogether|all told|all in all"))}
    taken = {n for c in claims for n in range(c.first, c.end)}
    found = []
    for number in ground.numbers:
        value = whole(number) if number.form != "one" or number.first in mine else None
        if value is None or number.first in taken:
            continue
        if number.first not in ends | mine and number.end not in summed:
            continue
        if not stands_free(ground, number) or ground.scope.elsewhere(number.first):
            continue
        kind = talk_of(ground, number.first, claims, mentions)
        if kind and not marked(ground, number.first):
            found.append(claim_at(ground, kind, value, number.first, number.end))
    twice = pattern(
        r"(?:that 's|that makes|it was|makes it|so|was)(?: the| only| just)* (?P<n>twice|thrice)"
    )
    for first, end, match in row.find(twice):
        kind = talk_of(ground, first, claims, mentions)
        if kind and not ground.scope.elsewhere(first, end) and end - 1 not in taken:
            found.append(
                claim_at(ground, kind, {"twice": 2, "thrice": 3}[match["n"]], end - 1, end)
            )
    return found


_NAMED_ORDINAL = (
    r"(?:that|this|it|which)(?: 's| is| was| makes| made| 'd be| would be)(?: only| just| now)*"
    r" (?:the|my|our|your|its|number|a)? ?(?P<n>first|second|third|fourth|fifth|sixth)"
    r"(?: and last| and only| and hopefully last)?(?P<noun> (?:one|time|go|round|{counts.noun}|"
    r"{counts.relight-noun}))?"
)


def _ordinals(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Claim]:
    """`that's the third one`, `that makes the second touch-up`: so many by now."""
    row = ground.row
    found = []
    go_on = pattern(
        r"now|today|so far|done|of the|for|on this|and|then|i 've|i have|it 's|already|tonight"
    )
    for first, end, match in row.find(pattern(_NAMED_ORDINAL)):
        at = row.span(*match.span("n"))[0]
        noun = (match["noun"] or "").strip()
        named = noun not in ("", "one", "time", "go", "round")
        ends = end >= len(row.words) or row.words[end].gap or (
            row.words[end].line != row.words[end - 1].line
        )  # fmt: skip
        goes_on = any(a == end for a, _, _ in row.find(go_on, end, end + 3))
        if ground.scope.elsewhere(first, end) or ground.scope.habit[first]:
            continue
        if not (named or ends or goes_on):
            continue
        kind = talk_of(ground, at, claims, mentions)
        if named:
            kind = "relight" if pattern("{counts.relight-noun}").fullmatch(noun) else "touch-up"
        if kind:
            found.append(claim_at(ground, kind, float(ORDINALS[match["n"]]), at, end))
    return found


def _of_thirds(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Claim]:
    """`In the second, none.`, `last third, two`: figures behind the third they are of."""
    row = ground.row
    places = "|".join(f"(?:{words})" for words in ORDER.values())
    behind = pattern(
        rf"(?:in |at |during |for |near )?(?:the )?(?:{places})(?: third)?(?: and last| and final)?"
        r"(?: there (?:was|were)| i (?:had|needed)| it (?:needed|took|wanted|had))?"
        r"(?: just| only)? (?P<n>one|two|three|four|five|none|nothing|zero|nil)"
    )
    taken = {n for c in claims for n in range(c.first, c.end)}
    none = {"none": 0, "nothing": 0, "zero": 0, "nil": 0}
    found = []
    often = {"once": 1, "twice": 2, "thrice": 3, "three times": 3}
    before = pattern(
        r"(?P<n>once|twice|thrice|three times)(?: more| again)? (?:right |just )?"
        rf"(?:in |at |during |for |near |around |by )?(?:the )?(?:{places})"
    )
    for first, end, match in row.find(before):
        kind = talk_of(ground, first, claims, mentions)
        opens = first == 0 or row.words[first].gap or row.words[first - 1].lower in ("and", "then")
        if kind and opens and not ground.scope.elsewhere(first, end):
            part = claim_at(ground, kind, often[match["n"]], first, end)
            found.append(replace(part, reach="part"))
    for first, end, match in row.find(behind):
        number = ground.starts.get(end - 1)
        if end - 1 in taken or ground.scope.elsewhere(first, end):
            continue
        which = match["n"] == "one" and not row.words[end - 1].gap  # "that's the second one"
        if which and not match[0].startswith(("in ", "at ", "during ", "for ", "near ")):
            continue
        value = none.get(match["n"], whole(number))
        kind = talk_of(ground, end - 1, claims, mentions)
        free = match["n"] in ("none", "nothing", "nil") or (number and stands_free(ground, number))
        if row.said(end, end + 1) in ("before", "after", "in", "at", "of"):
            continue
        if kind and value is not None and free:
            found.append(replace(claim_at(ground, kind, value, end - 1, end), reach="part"))
    return found


def _corrected(ground: Ground, claims: list[Claim]) -> list[Claim]:
    """Figures that follow a claim with a correction: `two touch-ups, no, three`."""
    row = ground.row
    starts = {c.first for c in claims}
    mend = pattern(
        r"no|nope|wait|hang on|hold on|sorry|or|or rather|rather|what am i saying|i lie|i tell "
        r"a lie|"
        r"recount|correction|actually|make that|make it|scratch that|wrong|i mean|therefore|"
        r"say|says|"
        r"it 's|let me|is it|not|should be|really|i 'm a liar|only|yes|and the notes"
    )
    found: list[Claim] = []
    for n, claim in enumerate(claims):
        after = claims[n + 1].first if n + 1 < len(claims) else len(row.words)
        end = claim.end
        for number in ground.numbers_in(claim.end, min(after, claim.end + 22)):
            between = row.said(end, number.first)
            value = whole(number) if number.form != "one" or _only(between) else None
            if number.form == "ordinal" or between.endswith("not"):
                continue  # "in the first third, but it was one"; "one touch-up, not two"
            if value is None or number.first in starts or not stands_free(ground, number):
                break
            if ground.scope.elsewhere(number.first):
                break
            listed = end > claim.end and number.first == end  # "no four, five"
            if row.words[number.first].line - claim.line > 1:
                break
            if not (listed or mend.search(between)):
                break
            if marked(ground, number.first):
                break
            vague = r"\b(?:an? \w+|one|two|three|once|twice|the odd \w+) or$"
            if re.search(vague, row.said(number.first - 3, number.first)):
                break  # "for a puff or two"
            if _pair_at(ground, number) or pattern(any_of("counts.relight-nouns")).search(between):
                break
            mended = claim_at(ground, claim.kind, value, number.first, number.end)
            found.append(replace(mended, reach=claim.reach))
            end = number.end
    return found


def _only(between: str) -> bool:
    """`two touch-ups, but it was one`, `and it was only the one`: a figure, no pronoun."""
    return bool(re.search(r"\b(?:it was|it is|it 's|was)(?: only| just)?(?: the)?$", between))


def _pair_at(ground: Ground, number: Number) -> tuple[int, int, int] | None:
    """`three and one` at a number: both figures and the end."""
    row = ground.row
    other = ground.starts.get(number.end + 1)
    if row.said(number.end, number.end + 1) != "and" or other is None:
        return None
    one, two = whole(number), whole(other)
    if one is None or two is None or not stands_free(ground, other):
        return None
    return one, two, other.end


def _pairs(ground: Ground, claims: list[Claim]) -> list[Claim]:
    """`three and one` for touch-ups and relights, where both were spoken of just before."""
    row = ground.row
    found: list[Claim] = []
    for number in ground.numbers:
        pair = _pair_at(ground, number)
        if pair is None or ground.scope.elsewhere(number.first):
            continue
        one, two, end = pair
        line = row.words[number.first].line
        near = [c for c in claims if line - 2 <= c.line <= line + 1]
        before = [c for c in near if c.end <= number.first]
        summed = [c for c in near if c.kind == "touch-up" and c.value == one + two]
        behind = [c for c in near if c.first >= end and c.first - end <= 8]
        spoken = {c.kind for c in before}
        relit = "relight" in row.said(max(number.first - 30, 0), number.first)
        if not before or behind or (summed and not relit and "relight" not in spoken):
            continue
        if "relight" in spoken or relit:
            found.append(claim_at(ground, "touch-up", one, number.first, end - 1))
            found.append(Claim("relight", two, line, number.first + 1, end))
    return found
