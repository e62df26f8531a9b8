"""Finds touch-ups and relights: the verbs, the nouns and the flame itself."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP, words
from .actions import actions, own_nouns, own_words
from .model import Claim, Mention, Mood, Tally
from .mood import group_before, mood, noun_start
from .often import told_often
from .places import place_in
from .told_of import hit_again, pointed


@dataclass(frozen=True, slots=True)
class Handling:
    """What was done to the stick, and a speaker's own nouns for a touch-up (as a pattern part).

    `totals` are the handlings told as a frequency over the stick so far.
    """

    mentions: tuple[Mention, ...]
    own_nouns: str
    totals: tuple[Claim, ...]


def find_handling(ground: Ground) -> Handling:
    """Touch-ups and relights in the order said, each with its mood; one place said once."""
    row = ground.row
    found: list[Mention] = []
    relit = (
        r"{counts.relit}|(?<=to )relight (?:it|her|him)|"
        r"(?<=i )relight (?:it|her|him)"
    )
    for first, end, _ in row.find(pattern(relit)):
        found.append(_mention(ground, "relight", first, end, mood(ground, first, end)))
    verbs: set[str] = set()
    nouns: set[str] = set()
    for shape in actions():
        for first, end, match in row.find(shape):
            found.append(_mention(ground, "touch-up", first, end, mood(ground, first, end)))
            named = match.groupdict()
            if named.get("goes") and _at_the_foot(ground, first):
                found.pop()
            if named.get("verb"):
                verbs.add(named["verb"])
            if named.get("noun"):
                nouns.add(named["noun"])
    if again := own_words(verbs, nouns):
        for first, end, _ in row.find(again):
            found.append(_mention(ground, "touch-up", first, end, mood(ground, first, end)))
    for first, end in (*hit_again(ground), *_flame_again(ground)):
        found.append(_mention(ground, "touch-up", first, end, mood(ground, first, end)))
    for kind, first, end, times, late in pointed(ground):
        line, later = row.words[first].line, _later(ground, first)
        ends = row.words[end - 1].lower in ("in", "at", "near", "during", "towards", "around", "by")
        third = place_in(row.said(end, end + 5)) if ends else None
        found.append(Mention(kind, line, first, end, "done", times, late or later, third=third))
    found += _nouns(ground, "touch-up", "counts.noun")
    found += _nouns(ground, "relight", "counts.relight-noun")
    found.sort(key=lambda m: (m.first, -m.end))
    found, totals = told_often(ground, found)
    merged = _merged(ground, _finished(ground, found))
    return Handling(tuple(merged), own_nouns(nouns), tuple(totals))


def _at_the_foot(ground: Ground, first: int) -> bool:
    """`The foot wants a soft flame and I went in with a jet`: told of the lighting."""
    row = ground.row
    lighting = pattern("foot|toast|toasted|toasting|to light|lighting")
    return any(True for _ in row.find(lighting, row.sentence(first, 20)[0], first))


def _flame_again(ground: Ground) -> list[tuple[int, int]]:
    """`Torch again on the left`, `again the lighter`, `Torch. There.`, at the head of a clause."""
    row = ground.row
    fire = "(?:torch|lighter|flame|match)"
    found = [
        (first, end)
        for first, end, _ in row.find(
            pattern(f"{fire} (?:again|there|done|sorted)|again the {fire}")
        )
        if first == 0 or row.words[first].gap or row.words[first].line != row.words[first - 1].line
    ]
    done = words("there done sorted fixed okay better")
    for first, end, _ in row.find(pattern(f"{fire}(?: on it| to it)?")):
        alone = row.words[first].gap and end < len(row.words) and row.words[end].gap
        if alone and row.words[end].lower in done and row.words[end].line == row.words[first].line:
            found.append((first, end))
    return found


def _finished(ground: Ground, found: list[Mention]) -> list[Mention]:
    """Drop `I'm touching it up` where the next words say that it is done."""
    kept = []
    for n, mention in enumerate(found):
        group = group_before(ground, mention.first)
        going = ground.row.words[mention.first].lower.endswith("ing") and (
            "'m" in group.split() or "am" in group.split()
        )
        soon = [
            m for m in found[n + 1 :]
            if m.kind == mention.kind and m.mood == "done" and 0 < m.line - mention.line <= 2
            and not re.match(r"(?:another|one more|again|second)", ground.row.said(m.first, m.end))
        ]  # fmt: skip
        if not (going and soon and mention.mood == "done"):
            kept.append(mention)
    return kept


_OFTEN = re.compile(
    r"\b(both|two|three|four) times(?: now| in all| so far)?(?: that)?(?: i| we)?"
    r"(?: have| had| 've| 'd| did| to| needed)*$"
)
"""Before a handling it is summed up: `three times I've had to`."""

_NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_AGAIN = (
    r"(?:[^ ]+ ){0,4}and (?:then )?another(?! (?:thing|story|hour|drink|one))\b|"
    r"(?:[^ ]+ ){0,3}(?:and |then |but )+(?:then )?(?:[^ ]+ ){0,2}(?:minutes|puffs|inch|while|bit) "
    r"(?:later|after|after that|on) (?:again|(?:on|along) the (?:right|left|other)|"
    r"once more|another|the same again)"
)


def _mention(ground: Ground, kind: Tally, first: int, end: int, how: Mood) -> Mention:
    line = _most_of(ground, first, end)
    return Mention(
        kind,
        line,
        first,
        end,
        how,
        max(how_often(ground, end), _before(ground, first)),
        _later(ground, first),
        1.0,
    )


def _most_of(ground: Ground, first: int, end: int) -> int:
    """The line that holds most of the words, the last of equals: a cut may run through them."""
    lines = [w.line for w in ground.row.words[first:end]]
    return max(sorted(set(lines)), key=lambda n: (lines.count(n), n))


def how_often(ground: Ground, end: int) -> int:
    """How often, from the words right behind: `twice`, `two times`, `and then another`."""
    after = ground.row.said(end, end + 16)
    light = r"(?:again |with [^ ]+ [^ ]+ |there |like |by hand |for me |on me |out )*"
    if re.match(_AGAIN, after):
        return 2
    if re.match(
        rf"{light}(?:not once but )?(?:twice|two times|a couple of times|both times)\b", after
    ):
        return 2
    if m := re.match(rf"{light}(three|four|five|six|\d) times\b", after):
        return _NUMBERS.get(m[1]) or int(m[1])
    return 3 if re.match(rf"{light}thrice\b", after) else 1


def _before(ground: Ground, first: int) -> int:
    """How often, from the words before: `both times I relit it`, `two times I help it`."""
    before = ground.row.said(max(first - 12, ground.row.sentence(first, 14)[0]), first)
    m = _OFTEN.search(before)
    m = m or re.search(r"\b(two|three|four) (?:separate |different )?occasions\b", before)
    return {"both": 2, **_NUMBERS}[m[1]] if m else 1


def _later(ground: Ground, first: int) -> bool:
    """True where the speaker tells afterwards of something not told when it happened."""
    row = ground.row
    if row.said(first - 1, first) in ("just", "now") and not row.words[first].gap:
        return False
    start, stop = row.sentence(first, 26)
    if _OFTEN.search(row.said(max(start, first - 12), first)):
        return True
    confess = pattern(
        "{counts.confess}|in (?:the|that) (?:first|opening|second|middle) third|"
        r"(?:that|which|it) (?:was|would be|is) (?:still|back|all|way back|already)"
        r"(?: in| during)? (?:the|my) (?:first|opening|second|middle|last|final)(?: \w+)?"
    )
    if any(True for _ in row.find(confess, start, stop)):
        return True
    if stop < len(row.words) and row.words[stop].line <= row.words[first].line:
        after = row.sentence(stop, 12)[1]
        return any(True for _ in row.find(confess, stop, after))
    return False


def _nouns(ground: Ground, kind: Tally, cue: str) -> list[Mention]:
    """`another touch-up`, `a touch-up was given`; a plain total is no mention."""
    row = ground.row
    found = []
    for first, end, _ in row.find(pattern(f"{{{cue}}}")):
        start = noun_start(ground, first)
        articles = row.said(start, first).split()
        how = _noun_mood(ground, start, first, end, articles)
        if how is not None:
            found.append(_mention(ground, kind, start, end, how))
    return found


def _noun_mood(
    ground: Ground, start: int, first: int, end: int, articles: list[str]
) -> Mood | None:
    row = ground.row
    if ground.scope.elsewhere(start, end) or ground.scope.habit[first]:
        return "elsewhere"
    group = group_before(ground, start)
    if re.search(
        r"\b(?:after|since|before|following|from|than|until)\b", row.said(start - 2, start)
    ):
        return None
    if _sums(ground, start) and _just_done(ground, start):
        return None
    stop = next((n for n in range(end, min(end + 3, len(row.words))) if row.words[n].gap), end + 3)
    after = row.said(end, stop)
    if re.search(r"\b(?:would|could|should|might|must) have\b", group):
        return "near"
    if re.search(r"\b(?:denied|refused|rejected|declined|dismissed|overruled|vetoed)\b",
                 row.said(end, end + 5)):  # fmt: skip
        return "near"
    if "no" in articles or re.search(
        r"\b(?:no(?! (?:call|that|it|this|make|i|we)\b)|never|not|without|zero|nor|any|avoid)\b",
        group,
    ):
        return "none"
    if pattern("{counts.near}").search(group):
        return "near"
    done = pattern(
        r"(?:.* )?(?:given|gave|did|done|had|make|makes|making|get|made|applied|performed|got|"
        r"took|taken|needed|wanted|"
        r"required|received|asked for|necessary|due|doing|do|give)(?: (?:it|her|him|me))?"
    ).fullmatch(group)
    behind = re.match(
        r"(?:done|given|applied|completed|complete|made|performed|was (?:given|made|needed|done)|"
        r"became|there|finished|over)\b",
        after,
    )
    if behind:
        return "done"
    past = re.search(r"\b(?:had to|'ve had to|needed|wanted|required|asked)\b", group)
    meant = not done and row.said(start - 1, start) == "for"
    if (meant or pattern("{counts.intent}").search(group)) and not past:
        return "intent"
    if done or re.search(r"\bthere (?:was|were|came|'s been)(?: again| also| then| only)?$",
                         row.said(start - 5, start)):  # fmt: skip
        return "done"
    return _bare(ground, start, end, articles, after)


def _sums(ground: Ground, start: int) -> bool:
    """True behind `that's`, `that makes`: the noun counts what was just done."""
    return bool(re.search(r"\b(?:that|which|it)(?: 's| is| makes| makes it| was)$|\bcall (?:it|"
        r"that)$",
                          ground.row.said(start - 4, start)))  # fmt: skip


def _just_done(ground: Ground, start: int) -> bool:
    """True where something was done to the stick earlier in the line."""
    row = ground.row
    done = pattern(
        "{counts.relit}|{counts.flame}|{counts.noun}|touched|lit|going again|back|corrected|"
        "fixed|burning"
    )
    return any(True for _ in row.find(done, row.firsts[row.words[start].line], start - 1))


def _bare(ground: Ground, start: int, end: int, articles: list[str], after: str) -> Mood | None:
    """A noun without a verb: `So, touch-up.`, `One more correction.`; else only a reference."""
    row = ground.row
    word = row.words[start]
    if re.search(r"\b(?:did|done) (?:it|that|one|so)$", row.said(start - 5, start)):
        return "done"
    before = row.said(start - 1, start)
    opening = start == 0 or word.gap or row.words[start - 1].line != word.line
    opening = opening or before in (
        "so",
        "and",
        "then",
        "ugh",
        "well",
        "right",
        "okay",
        "now",
        "yes",
        "also",
        "just",
    )
    numbered = set(articles) & {"first", "second", "third", "fourth", "fifth"}
    if numbered and not set(articles) & {"the", "that", "my", "this"}:
        return "done"
    if set(articles) & {"another", "more", "further"} and not set(articles) & {"two", "three"}:
        return "done"
    if row.words[end - 1].lower == "correction" and not articles:
        return None  # "Correction, forty-eight."
    if articles[-1:] == ["a"] and after.startswith("on the"):
        return "done"
    single = not set(articles) & {
        "the",
        "that",
        "this",
        "two",
        "three",
        "four",
        "five",
        "six",
        "my",
    }
    one = articles == ["one"] or articles == ["single"]
    if after.startswith("number"):
        return "done" if opening and single else None
    if after.startswith(("so far", "count", "in total", "total", "and", "or", "one", "two",
                         "three", "zero", "four", "none")):  # fmt: skip
        single = single and not one and after.startswith("and")
    return "done" if opening and single and not one else None


def _merged(ground: Ground, found: list[Mention]) -> list[Mention]:
    """Mentions of one handling said twice in a breath become one; flame after `out` relights."""
    kept: list[Mention] = []
    for mention in found:
        last = kept[-1] if kept else None
        if last and mention.first < last.end:
            if mention.kind == last.kind and last.mood != "done" and mention.mood == "done":
                continue
            if mention.kind != last.kind and mention.kind == "relight":
                kept[-1] = mention
            continue
        if last and _names_it(ground, kept, mention):
            continue
        if last and _same_breath(ground, last, mention):
            kept[-1] = Mention(
                last.kind, last.line, last.first, mention.end, last.mood,
                max(last.times, mention.times), last.later or mention.later, 1.0,
            )  # fmt: skip
            continue
        kept.append(mention)
    return kept


def _names_it(ground: Ground, kept: list[Mention], new: Mention) -> bool:
    """`Torch on it. So, touch-up number one`: the noun only numbers what was just done."""
    last = kept[-1]
    if last.mood != "done" or new.kind != "touch-up" or new.line - last.line > 1:
        return False
    if ground.row.said(new.end, new.end + 1) != "number":
        return False
    number = ground.starts.get(new.end + 1)
    told = sum(m.times for m in kept if m.kind == "touch-up" and m.mood == "done")
    return last.line == new.line or (number is not None and (number.value or 0) <= told)


def _same_breath(ground: Ground, last: Mention, new: Mention) -> bool:
    """`I've given it a lick of flame, touched up`: the second only repeats the first."""
    row = ground.row
    if last.kind != new.kind or last.mood != "done" or new.mood != "done":
        return False
    if any(row.words[n].gap == STOP for n in range(last.end, new.first + 1)):
        return False
    if new.first == last.end and not row.words[new.first].gap:
        return row.words[new.first].lower in ("again", "once")  # "touched it up again in the last"
    between = row.said(last.end, new.first)
    if re.search(r"\b(?:again|another|later|then|after|more|second|third|twice)\b", between):
        return False
    if re.match(r"(?:another|one more|again|second|third)", row.said(new.first, new.end)):
        return False
    return new.first - last.end <= 8
