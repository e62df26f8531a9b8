"""The ways of saying a touch-up without the word: verbs, a flame in motion, a lick of fire."""

from __future__ import annotations

import re
from functools import cache

from ..phrases import any_of, pattern

_HELD = (
    r"in (?:the|my|one|his) hands?|in hand|out|going|ready|open|away|down|back in|up|aimed|handy|"
    r"drawn|near|on standby|by me|in the air|beside"
)
"""A flame that is only held is no touch-up yet."""

_PAST = (
    r"(?:put|set|made|got|swept|drove|led|caught|dealt|fought|bent|spun|shook|beat|knocked|kept|"
    r"held|won|sent|cut|rode|taught)"
)
"""Irregular past forms: `I've put it right with the match`."""

_FIRE = "(?:flame|torch|fire|heat|lighter|jet)"
_SELF = r"(?! self| itself| on its own| by itself| alone)"
_NOT_LIGHTING = r"(?!(?:light|lighted|toast|toasted|start|started|warm|warmed|be|have|do|smoke) )"


@cache
def actions() -> tuple[re.Pattern[str], ...]:
    """Patterns over the stream; a group `verb` or `noun` is a word of the speaker's own."""
    thing = any_of("counts.object")
    correct, straighten = any_of("counts.correct"), any_of("counts.straighten")
    lick = any_of("counts.lick")
    flame = rf"(?:[^ ]+ ){{0,2}}{any_of('counts.flame')}(?! (?:{_HELD})(?! to))"
    a = r"(?:(?:the|a|my|some|that|one|more|another|its|little) )"
    give = r"(?:give|gave|given|giving|gives)"
    side = r"(?:slow|left|right|far|near|lagging|side|edge|low|high|seam)"
    texts = (
        rf"(?:touch|touched|touching|touches) {thing} (?:a bit |a little |back )?up",
        r"(?:touched|touching) up",
        r"(?<=to )touch up|(?<=i )touch up|(?<='ll )touch up",
        rf"(?:touch|touched|touching) {thing} (?:again|once more|a second time|another time)",
        rf"{correct} {thing}{_SELF}",
        rf"{straighten} {thing}(?: [^ ]+)? (?:up|out|off)(?! again by){_SELF}",
        r"(?:was|been|be|got|is|were) (?:(?!no|not)[^ ]+ )?(?:corrected|fixed|torched|repaired|"
        r"mended|"
        rf"touched up|retoasted|evened (?:out|up)|straightened)(?! {thing}){_SELF}",
        rf"{any_of('counts.help')} (?:[^ ]+ ){{1,6}}with {a}?{flame}",
        rf"(?!(?:wanted|needed|liked) ){_NOT_LIGHTING}(?P<verb>[a-z]+ed) {thing}"
        rf" (?:[^ ]+ ){{0,4}}with {a}?{flame}",
        rf"{_PAST} {thing} (?:[^ ]+ ){{0,3}}with {a}?{flame}",
        rf"(?<=to ){_NOT_LIGHTING}[a-z]+ {thing} (?:[^ ]+ ){{0,4}}with {a}?{flame}",
        rf"(?:been|be|went|go|gone|going|got|get|come|came|was|were)(?: back| right| straight| "
        rf"just)*"
        rf" (?:round|around|over|along|across|at|to|up|down|after) {thing} (?:[^ ]+ ){{0,3}}"
        rf"with {a}?{flame}",
        rf"(?P<goes>went|go|gone|going|been|dived|dipped|jumped|popped|come|came|got|get|leant|"
        rf"leaned)"
        rf"(?: back| right| straight| just)* in (?:(?:there|again|at it|on it|quickly|gently|"
        rf"quick) )*"
        rf"with {a}?{flame}",
        rf"(?:intervened|intervene|stepped in|stepping in|step in|interfered|helped out) "
        rf"(?:[^ ]+ ){{0,4}}with {a}?{flame}",
        rf"{give} {thing} (?:a|another|one|the) (?:(?:quick|little|wee|gentle|small|bit|of|good) )*"
        rf"(?P<noun>[a-z]+) (?:with|of|from) {a}?{flame}",
        rf"{give} {thing} (?:[^ ]+ ){{1,8}}with {a}?{flame}",
        rf"{give} (?:[^ ]+ ){{1,4}}{a}?(?:[^ ]+ ){{0,3}}{any_of('counts.flame')}(?! (?:in|out))",
        rf"{give} {thing} (?:a|another|one more|one|two|the) (?:[^ ]+ )?{lick}(?! of (?!the "
        rf"flame|the torch))",
        rf"{any_of('counts.bring-flame')} {a}?{flame} (?:again )?"
        r"(?:to|on|at|along|over|round|around|against|under|across|where|near|by)",
        rf"(?:recourse|resort|resorted|resorting|turned) to (?:the|my|a) {_FIRE}",
        rf"(?:apply|applied|applying|using|used|administered|introduced) {a}?"
        rf"{any_of('counts.flame')}(?! (?:{_HELD}))",
        rf"(?:it|side|edge|line|burn|one)(?: 's| has| 's just| had| got)+ (?:had|got|seen|taken) "
        rf"{a}*(?:[^ ]+ of )?(?:the )?{flame}",
        rf"(?:take|took|grab|grabbed|get|got|fetched|lifted|picked up) {a}?{flame}(?: out| up| "
        rf"again| back)*"
        rf" and (?:then |just )?(?!put|set|laid|closed|took|left|lit|light|thought|held|started)"
        rf"[a-z]+ {thing}(?! (?:back|away|aside|up again))",
        r"(?:toast|toasted|toasting|warmed|lit|char|charred) (?:the )?(?:slow|lagging|far|near|"
        r"left|"
        r"right|high|low|lazy|other|stubborn|seam) (?:side|edge|part|bit|corner|end)",
        rf"(?:a|another|one|one more|quick|little|wee|small|good|some) (?!bit|hint|whisper|breath|"
        rf"spot)"
        rf"{lick} with {a}?{_FIRE}",
        rf"{lick} of (?:the |a )?(?:soft |quick |little )?{_FIRE}(?! mark)",
        rf"(?:a|another|one more|some|more) (?:(?!burnt|struck|spent)[^ ]+ ){{0,2}}(?:{_FIRE}|"
        rf"match) "
        r"(?:on|to|at|along|over|there|applied|again)(?! (?:my|the) (?:hand|table))",
        rf"(?:{_FIRE}|match) (?:given|applied|to it|on it|to the {side})",
    )
    return tuple(pattern(text) for text in texts)


def own_words(verbs: set[str], nouns: set[str]) -> re.Pattern[str] | None:
    """What a speaker once said of the flame, said again without it: `nudged it`, `a nudge`."""
    verbs, nouns = verbs - _COMMON, nouns - _COMMON
    stems = {re.sub(r"([^aeiou])\1$", r"\1", v.removesuffix("ed")) for v in verbs} | nouns
    if not stems:
        return None
    stem = "(?:" + "|".join(sorted(re.escape(s) for s in stems)) + ")"
    forms = f"{stem}[a-z]?(?:e|ed|d|s|ing)?"
    return pattern(
        rf"{forms} {{counts.object}}|(?:another|one more) {forms}|"
        rf"(?:give|gave|given|giving) {{counts.object}} (?:a|another|one more) (?:[^ ]+ )?{forms}"
    )


def own_nouns(nouns: set[str]) -> str:
    """A group that matches a speaker's own nouns for a touch-up, plural too."""
    own = sorted(re.escape(n) for n in nouns - _COMMON)
    return "(?:" + "|".join(own) + ")(?:s|es)?" if own else ""


_COMMON = frozenset(
    "help helped bring brought got do did see saw show showed wake woke bit little go hit one "
    "quick touch lot hand bath look side thing time talking puff stroke shot spot dose".split()
)
"""Too common to mean a touch-up wherever a speaker who used them for one says them again."""
