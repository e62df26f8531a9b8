"""Finds touch-ups and relights: the verbs, the nouns and the flame itself."""

from __future__ import annotations

import re
from functools import cache

from ..ground import Ground
from ..phrases import any_of, pattern
from ..stream import STOP
from .model import Mention, Mood, Tally
from .mood import group_before, mood, noun_start

_IN_HAND = (
    r"in (?:the|my|one|his) hands?|in hand|out|going|ready|open|away|down|back in|up|aimed|handy|"
    r"drawn|near|on standby|by me|in the air|beside"
)


_COUNTED = {"two": 2, "three": 3, "both": 2, "a couple": 2}

_COMMON = frozenset("help helped bring brought got do did see saw show showed wake woke".split())
"""Too common to mean a touch-up wherever a speaker who used them for one says them again."""


@cache
def _actions() -> tuple[re.Pattern[str], ...]:
    """Verbs that say a touch-up without the word for it."""
    thing = any_of("counts.object")
    flame = rf"(?:[^ ]+ ){{0,2}}{any_of('counts.flame')}(?! (?:{_IN_HAND})(?! to))"
    a = r"(?:the|a|my|some|that|one|more|another|its|little)"
    towards = r"(?:to|on|at|along|over|round|around|against|under|across|where|near|up)"
    return tuple(
        pattern(text)
        for text in (
            rf"(?:touch|touched|touching|touches) {thing} (?:a bit |a little |back )?up",
            r"(?:touched|touching) up",
            r"(?<=to )touch up|(?<=i )touch up|(?<='ll )touch up",
            rf"(?:touch|touched|touching) {thing} (?:again|once more|a second time|another time)",
            rf"(?:correct|corrected|correcting|fix|fixed|fixing|torch|torched|torching|repair|"
            rf"repaired|mend|mended|singe|singed|zap|zapped|re toasted|retoasted|trimmed) {thing}"
            r"(?! self| itself| on its own| by itself| alone)",
            rf"(?:even|evened|evening|straighten|straightened|tidy|tidied|square|squared|level|"
            rf"levelled|leveled|neaten|neatened) {thing}(?: \w+)? (?:up|out|off)"
            r"(?! by itself| on its own| itself| alone| again by)",
            r"(?:was|been|be|got|is|were) (?:[^ ]+ )?(?:corrected|touched up|torched|evened (?:out|up)|"
            r"straightened)(?! by itself)",
            rf"(?:hit|hitting|blast|blasted|zap|zapped|nudge|nudged|kiss|kissed|caught|tickle|tickled|"
            rf"brush|brushed|singed|toasted|licked|help|helped|brought|bring|"
            rf"worked|even|evened|straighten|straightened|got|touch|touched|treated|treat|poke|"
            rf"poked|see to|seen to|saw to|burned|burnt|chased)"
            rf" (?:[^ ]+ ){{1,6}}with (?:{a} )?{flame}",
            rf"(?!(?:lighted|toasted|started|warmed|wanted|needed|liked) )(?P<verb>[a-z]+ed) {thing}"
            rf" (?:[^ ]+ ){{0,4}}with (?:{a} )?{flame}",
            rf"(?<=to )(?!(?:light|toast|start|warm|be|have|do|smoke) )[a-z]+ {thing} "
            rf"(?:[^ ]+ ){{0,4}}with (?:{a} )?{flame}",
            rf"(?:give|gave|given|giving|gives) {thing} (?:[^ ]+ ){{1,8}}with (?:{a} )?{flame}",
            rf"(?:go|went|gone|going|goes) (?:over|round|around|at|along) {thing} "
            rf"(?:[^ ]+ ){{0,3}}with (?:{a} )?{flame}",
            rf"(?:give|gave|given|giving|gives) (?:[^ ]+ ){{1,4}}{a}? ?(?:[^ ]+ ){{0,3}}"
            rf"(?:{any_of('counts.flame')})(?! (?:in|out))",
            rf"(?:give|gave|given|giving) {thing} (?:a|another|one more|the) (?:[^ ]+ )?(?:kiss|lick|"
            r"tickle|blast|nudge|toast|toasting|seeing to|once over|going over|dab|singe|flick|hit|"
            r"touch|correction|quick one|tidy|tidy up|lift)",
            rf"(?:took|take|taken|taking|put|putting|run|ran|running|hold|held|apply|applied|"
            rf"applying|bring|brought|had|have|touch|touched|wave|waved|play|played|pass|passed|use|"
            rf"used|flick|flicked|show|showed|shown|point|pointed|lay|laid|offered|offer|turned) "
            rf"(?:{a} )?{flame} (?:again )?{towards}",
            rf"(?:apply|applied|applying|using|used|administered|introduced) (?:{a} )?"
            rf"{any_of('counts.flame')}(?! (?:{_IN_HAND}))",
            rf"(?:it|side|edge|line|burn|one)(?: 's| has| 's just| had| got)+ (?:had|got|seen|taken) "
            rf"(?:{a} )*(?:[^ ]+ of )?(?:the )?{flame}",
            r"(?:lick|kiss|dab|bit|touch|flick|spot|tickle|breath|blast|lash|dash|burst|pass|sweep|"
            r"wave|stroke|shot|go|hint|splash|squirt|poke|dose|bath|swipe|whisper) of"
            r" (?:the |a )?(?:soft |quick |little )?(?:flame|torch|fire|heat|lighter|jet)(?! mark)",
            r"(?:a|another|one more|some|more) (?:(?!burnt|struck|spent)[^ ]+ ){0,2}"
            r"(?:flame|torch|fire|heat|lighter|match) "
            r"(?:on|to|at|along|over|there|applied|again)(?! (?:my|the) (?:hand|table))",
            r"(?:flame|torch|lighter|match|fire) (?:given|applied|to it|on it|to the (?:slow|left|"
            r"right|far|lagging|side|edge))",
        )
    )


def find_handling(ground: Ground) -> list[Mention]:
    """Touch-ups and relights in the order said, each with its mood; one place said once."""
    row = ground.row
    found: list[Mention] = []
    relit = r"{counts.relit}(?: (?:it|her|him|up))?|(?<=to )relight (?:it|her|him)|" \
            r"(?<=i )relight (?:it|her|him)"  # fmt: skip
    for first, end, _ in row.find(pattern(relit)):
        found.append(_mention(ground, "relight", first, end, mood(ground, first, end)))
    verbs: set[str] = set()
    for words in _actions():
        for first, end, match in row.find(words):
            found.append(_mention(ground, "touch-up", first, end, mood(ground, first, end)))
            if "verb" in match.groupdict():
                verbs.add(match["verb"])
    if own := verbs - _COMMON:
        again = pattern(rf"(?:{'|'.join(sorted(own))}) {{counts.object}}")
        for first, end, _ in row.find(again):
            found.append(_mention(ground, "touch-up", first, end, mood(ground, first, end)))
    found += _hits(ground) + _told_of(ground)
    found += _nouns(ground, "touch-up", "counts.noun")
    found += _nouns(ground, "relight", "counts.relight-noun")
    found.sort(key=lambda m: (m.first, -m.end))
    return _merged(ground, found)


def _hits(ground: Ground) -> list[Mention]:
    """`had to hit her again`, where a flame was spoken of just before."""
    row = ground.row
    hits = pattern(
        r"(?:hit|get|got|zap|zapped|tickle|tickled|(?<=i )do|(?<=i )did) (?:it|her|him) "
        r"(?:again|there|once more|one more time|a second time)"
    )
    flame = pattern("{counts.flame}|{counts.noun}")
    return [
        _mention(ground, "touch-up", first, end, mood(ground, first, end))
        for first, end, _ in row.find(hits)
        if any(True for _ in row.find(flame, max(first - 34, 0), first))
    ]


def _told_of(ground: Ground) -> list[Mention]:
    """`the one I'd forgotten came in the final third`, `the second was near the end`."""
    row = ground.row
    place = r"(?:right |just |way |back |still )*(?:in|at|near|during|towards|around|by|early|late)"
    told = pattern(
        r"the (?:one|third|fourth|second|last|other|missing one)(?: that)? i(?: 'd| had)? "
        r"(?:forgotten|forgot|missed|left out|skipped|never (?:mentioned|told|counted|logged)|"
        rf"did not (?:mention|count|log))(?: (?:was|came|happened|fell) {place})?|"
        r"(?:the )?(?:first|second|third|fourth|other|last|next|latter|former)(?: one| touch up| "
        rf"correction| time)? (?:was|came|happened|fell|followed|being) {place}"
        r"(?= (?:the |that |its |my )?(?:very )?(?:first|second|third|last|final|middle|end|start|"
        r"beginning|nub|half|opening|bottom|top|on))|"
        r"(?:the |and )?(?:one|first|second|other|last)(?: of (?:them|those|these))? "
        r"(?:was|came|happened|fell) (?:right |quite |very |pretty )*(?:early|late)(?: on)?|"
        r"(?:one|two|three|both|a couple)(?: of (?:them|those|these))? (?:was|were|came|happened|fell) "
        r"(?:right |just )*(?:in|at|near|during|towards)(?= (?:the |that )(?:first|second|third|"
        r"last|final|middle|end|start|beginning|nub|opening|bottom|top))|"
        r"(?:once more|once again|again|another(?: one)?|one more|the same again|a second one) "
        rf"{place}(?= (?:the |that )?(?:very )?(?:first|second|third|last|final|middle|end|start|"
        r"beginning|nub|opening|bottom|top|close))|"
        r"(?:wanted|needed|got|(?<!it )did|gave it|took|asked for|had|required) "
        r"(?:the same|another|one more|it|another one|that)(?: treatment| medicine| thing)?"
        r"(?: again| once more| a second time)"
    )
    relight = pattern("{counts.relit}|{counts.relight-noun}|{counts.relight-nouns}")
    touch = pattern("{counts.noun}|{counts.nouns}|{counts.flame}|up|corrected|fixed|correct")
    found = []
    for first, end, match in row.find(told):
        start = max(first - 40, 0)
        lit = max((a for a, _, _ in row.find(relight, start, first)), default=-1)
        touched = max((a for a, _, _ in row.find(touch, start, first)), default=-1)
        if max(lit, touched) < 0 or ground.scope.elsewhere(first, end):
            continue
        kind: Tally = "relight" if lit > touched else "touch-up"
        mention = _mention(ground, kind, first, end, "done")
        times = next((n for w, n in _COUNTED.items() if match[0].startswith(w)), 1)
        later = mention.later or "forg" in match[0] or "miss" in match[0]
        found.append(Mention(kind, mention.line, first, end, "done", times, later))
    return found


def _mention(ground: Ground, kind: Tally, first: int, end: int, how: Mood) -> Mention:
    row = ground.row
    line = row.words[first].line
    return Mention(
        kind, line, first, end, how, how_often(ground, end), _later(ground, first, end), 1.0
    )


def how_often(ground: Ground, end: int) -> int:
    """How often, from the words right behind: `twice`, `two times`, `once`."""
    row = ground.row
    after = row.said(end, end + 6)
    light = r"(?:again |with \w+ \w+ |there |like |by hand |for me )*"
    again = (
        r"(?:[^ ]+ ){0,3}(?:and |then |but )+(?:then )?(?:[^ ]+ ){0,2}(?:minutes|puffs|inch|while|bit) "
        r"(?:later|after|after that|on) (?:again|on the (?:right|left|other)|along the (?:right|left|other)|she needed it again|it needed it again|once more|"
        r"another|the same again)"
    )
    if re.match(again, row.said(end, end + 16)):
        return 2
    if m := re.match(rf"{light}(twice|two times|a couple of times|both times)\b", after):
        return 2 if m else 1
    if m := re.match(rf"{light}(three|four|five|six|\d) times\b", after):
        return int(m[1]) if m[1].isdecimal() else {"three": 3, "four": 4, "five": 5, "six": 6}[m[1]]
    return 3 if re.match(rf"{light}thrice\b", after) else 1


def _later(ground: Ground, first: int, end: int) -> bool:
    """True where the speaker tells afterwards of something not told when it happened."""
    row = ground.row
    start, stop = row.sentence(first, 26)
    confess = pattern("{counts.confess}|in (?:the|that) (?:first|opening|second|middle) third")
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
    stop = next((n for n in range(end, min(end + 3, len(row.words))) if row.words[n].gap), end + 3)
    after = row.said(end, stop)
    if re.search(r"\b(?:would|could|should|might|must) have\b", group):
        return "near"
    if "no" in articles or re.search(r"\b(?:no|never|not|without|zero|nor|any|avoid)\b", group):
        return "none"
    if pattern("{counts.near}").search(group):
        return "near"
    done = pattern(
        r"(?:.* )?(?:given|gave|did|done|had|make|makes|making|get|made|applied|performed|got|took|taken|needed|wanted|"
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
    if pattern("{counts.intent}").search(group) and not past:
        return "intent"
    if done or re.search(r"\bthere (?:was|were|came|'s been)(?: again| also| then| only)?$",
                         row.said(start - 5, start)):  # fmt: skip
        return "done"
    return _bare(ground, start, end, articles, after)


def _bare(
    ground: Ground, start: int, end: int, articles: list[str], after: str
) -> Mood | None:
    """A noun without a verb: `So, touch-up.`, `One more correction.`; else only a reference."""
    row = ground.row
    word = row.words[start]
    if re.search(r"\b(?:did|done) (?:it|that|one|so)$", row.said(start - 5, start)):
        return "done"
    before = row.said(start - 1, start)
    opening = start == 0 or word.gap or row.words[start - 1].line != word.line
    opening = opening or before in ("so", "and", "then", "ugh", "well", "right", "okay", "now", "yes",
                                      "also", "just")
    numbered = set(articles) & {"first", "second", "third", "fourth", "fifth"}
    if numbered and not set(articles) & {"the", "that", "my", "this"}:
        return "done"
    if set(articles) & {"another", "more", "further"} and not set(articles) & {"two", "three"}:
        return "done"
    if row.words[end - 1].lower == "correction" and not articles:
        return None  # "Correction, forty-eight."
    if articles[-1:] == ["a"] and after.startswith("on the"):
        return "done"
    single = not set(articles) & {"the", "that", "this", "two", "three", "four", "five", "six", "my"}
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
        if last and _names_it(ground, last, mention):
            continue
        if last and _same_breath(ground, last, mention):
            kept[-1] = Mention(
                last.kind, last.line, last.first, mention.end, last.mood,
                max(last.times, mention.times), last.later or mention.later, 1.0,
            )  # fmt: skip
            continue
        kept.append(mention)
    return kept


def _names_it(ground: Ground, last: Mention, new: Mention) -> bool:
    """`Torch on it. So, touch-up number one`: the noun only numbers what was just done."""
    if last.mood != "done" or new.kind != "touch-up" or new.first - last.end > 10:
        return False
    return last.line == new.line and ground.row.said(new.end, new.end + 1) == "number"


def _same_breath(ground: Ground, last: Mention, new: Mention) -> bool:
    """`I've given it a lick of flame, touched up`: the second only repeats the first."""
    row = ground.row
    if last.kind != new.kind or last.mood != "done" or new.mood != "done":
        return False
    if any(row.words[n].gap == STOP for n in range(last.end, new.first + 1)):
        return False
    between = row.said(last.end, new.first)
    if re.search(r"\b(?:again|another|later|then|after|more|second|third|twice)\b", between):
        return False
    if re.match(r"(?:another|one more|again|second|third)", row.said(new.first, new.end)):
        return False
    return new.first - last.end <= 8
