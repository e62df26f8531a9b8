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
from .model import Claim, Mention, Tally
from .often import widened
from .places import ORDER
from .within import relights_within

MOST = 15
"""No stick is touched up more often; a greater figure counts something else."""

_ADJECTIVES = (
    r"(?:little |small |proper |quick |more |single |measly |tiny |wee |whole |separate |actual |"
    r"full |real |minor |clean |honest |bloody |burn |recorded |of (?:them|those|these) )*"
)
_PLACE = re.compile(
    r"(?:of (?:those|them|these|which) )?(?:was |were |came |at|in|on|up|near|early|late|during|"
    r"before|after|right|down|towards?)\b"
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


def _claim(ground: Ground, kind: Tally, value: float, first: int, end: int) -> Claim:
    return Claim(kind, int(value), ground.row.words[first].line, first, end)


def _whole(number: Number | None) -> int | None:
    if number is not None and number.form == "row" and len(set(number.parts)) == 1:
        return int(number.parts[0]) if number.parts[0] <= MOST else None  # "two, two"
    if number is None or number.value is None or number.form not in ("whole", "one"):
        return None
    return int(number.value) if number.value == int(number.value) <= MOST else None


def _counted(ground: Ground, kind: Tally, noun: str) -> list[Claim]:
    """`two touch-ups`, `touch-ups two`, `the one relight`, `touch-up number one`."""
    row = ground.row
    claims = []
    after = pattern(rf"{_ADJECTIVES}{noun}")
    for number in ground.numbers:
        value = _whole(number)
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
            claims.append(_claim(ground, kind, value, number.first, hit[1]))
    behind = pattern(rf"{noun}(?: number| count| total|,)?")
    for first, end, _ in row.find(behind):
        value = _whole(ground.starts.get(end))
        if value is None or row.said(first - 1, first) in ("a", "another", "one", "two", "three"):
            continue
        number = ground.starts[end]
        nxt = row.said(number.end, number.end + 1)
        counted = first in {c.end for c in claims}
        if nxt in ("touch", "relight", "relights", "correction") and not row.words[number.end].gap:
            if not _listed_before(ground, number):
                continue
        elif not _free(ground, number):
            continue
        if counted:
            continue
        if row.words[end].gap == STOP and row.words[end].line != row.words[first].line:
            continue
        claims.append(_claim(ground, kind, value, first, number.end))
    pair = pattern(rf"(?:a pair|a couple|couple)(?: of)? {noun}")
    claims += [_claim(ground, kind, 2, a, b) for a, b, _ in row.find(pair)]
    single = pattern(
        rf"(?<!not )(?:(?:just|only|but|still|and) )?(?:the|a) (?:single|solitary|lone|sole|"
        rf"only) {noun}"
    )
    no = re.compile(r"\b(?:not|never|without|nor|hardly)(?: \w+){0,3}$")
    claims += [
        _claim(ground, kind, 1, a, b)
        for a, b, _ in row.find(single)
        if not no.search(row.said(a - 4, a))
    ]
    if kind == "relight":
        lone = pattern(r"(?:and|plus|with) (?:the|a) {counts.relight-noun}")
        claims += [_claim(ground, kind, 1, a, b) for a, b, _ in row.find(lone)]
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


def _running(ground: Ground, claims: list[Claim], mentions: Sequence[Mention]) -> list[Claim]:
    """Figures without a noun: `that's two`, `so, three`, `number one`, where the talk is of it."""
    row = ground.row
    lead = pattern(
        r"(?:that|this|it|which)(?: 's| is| was| makes| make| made| 'd be| 'd make| would be| "
        r"brings)"
        r"(?: it| that| us| me)?(?: to| at)?(?: only| just| now| about)*|(?:so|and) (?:that "
        r")?makes?"
        r"(?: it| that)?|makes(?: it| that| them)?|make it|make that|call it|"
        r"so(?: it 's)?|number|we 're (?:at|on|up to)|i 'm (?:at|on|up to)|up to|tally(?: 's| is)?|"
        r"count(?: 's| is)?|so far|had the|needed the|only the|just the|i make it|what|counting|"
        r"(?:register|ledger|log|book|tally|score sheet)(?: 's| is)?(?: reading| reads| says)|"
        r"notes? (?:say|says)|that leaves|leaves|in all"
    )
    ends = {b for _, b, _ in row.find(lead)}
    taken = {n for c in claims for n in range(c.first, c.end)}
    found = []
    for number in ground.numbers:
        value = _whole(number) if number.form != "one" else None
        if value is None or number.first in taken or number.first not in ends:
            continue
        if not _free(ground, number) or ground.scope.elsewhere(number.first):
            continue
        kind = _talk(ground, number.first, claims, mentions)
        if kind and not _marked(ground, number.first):
            found.append(_claim(ground, kind, value, number.first, number.end))
    twice = pattern(
        r"(?:that 's|that makes|it was|makes it|so|was)(?: the| only| just)* (?P<n>twice|thrice)"
    )
    for first, end, match in row.find(twice):
        kind = _talk(ground, first, claims, mentions)
        if kind and not ground.scope.elsewhere(first, end) and end - 1 not in taken:
            found.append(_claim(ground, kind, {"twice": 2, "thrice": 3}[match["n"]], end - 1, end))
    return found


def _marked(ground: Ground, at: int) -> bool:
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
        kind = _talk(ground, at, claims, mentions)
        if named:
            kind = "relight" if pattern("{counts.relight-noun}").fullmatch(noun) else "touch-up"
        if kind:
            found.append(_claim(ground, kind, float(ORDINALS[match["n"]]), at, end))
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
        kind = _talk(ground, first, claims, mentions)
        opens = first == 0 or row.words[first].gap or row.words[first - 1].lower in ("and", "then")
        if kind and opens and not ground.scope.elsewhere(first, end):
            part = _claim(ground, kind, often[match["n"]], first, end)
            found.append(replace(part, reach="part"))
    for first, end, match in row.find(behind):
        number = ground.starts.get(end - 1)
        if end - 1 in taken or ground.scope.elsewhere(first, end):
            continue
        which = match["n"] == "one" and not row.words[end - 1].gap  # "that's the second one"
        if which and not match[0].startswith(("in ", "at ", "during ", "for ", "near ")):
            continue
        value = none.get(match["n"], _whole(number))
        kind = _talk(ground, end - 1, claims, mentions)
        free = match["n"] in ("none", "nothing", "nil") or (number and _free(ground, number))
        if row.said(end, end + 1) in ("before", "after", "in", "at", "of"):
            continue
        if kind and value is not None and free:
            found.append(replace(_claim(ground, kind, value, end - 1, end), reach="part"))
    return found


def _free(ground: Ground, number: Number) -> bool:
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


def _talk(
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
            value = _whole(number) if number.form != "one" or _only(between) else None
            if number.form == "ordinal" or between.endswith("not"):
                continue  # "in the first third, but it was one"; "one touch-up, not two"
            if value is None or number.first in starts or not _free(ground, number):
                break
            if ground.scope.elsewhere(number.first):
                break
            listed = end > claim.end and number.first == end  # "no four, five"
            if row.words[number.first].line - claim.line > 1:
                break
            if not (listed or mend.search(between)):
                break
            if _marked(ground, number.first):
                break
            vague = r"\b(?:an? \w+|one|two|three|once|twice|the odd \w+) or$"
            if re.search(vague, row.said(number.first - 3, number.first)):
                break  # "for a puff or two"
            if _pair_at(ground, number) or pattern(any_of("counts.relight-nouns")).search(between):
                break
            mended = _claim(ground, claim.kind, value, number.first, number.end)
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
    one, two = _whole(number), _whole(other)
    if one is None or two is None or not _free(ground, other):
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
            found.append(_claim(ground, "touch-up", one, number.first, end - 1))
            found.append(Claim("relight", two, line, number.first + 1, end))
    return found
