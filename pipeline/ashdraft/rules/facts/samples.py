"""How many of these sticks the speaker has smoked."""

from __future__ import annotations

from ..ground import Ground
from ..numbers import ORDINALS
from ..phrases import pattern
from .found import Found, Mention, Sections, corrects

_NOUN = (
    r"(?:one|sticks?|cigars?|units?|samples?|pieces?|go|time|try|of these|of them|of this|"
    r"of the lot|specimen|smoke|encounter|attempt|outing|meeting|visit|bout)"
)
_ORDINAL = (
    r"(?P<ord>" + "|".join(ORDINALS) + r"|(?:twenty|thirty) (?:first|second|third|fourth|fifth|"
    r"sixth)|\d+(?:st|nd|rd|th))"
)
_SMOKED = (
    r"(?:smoked|smoke|had|tried|lit|ever lit|opened|opening|burned|burnt|been through|done|tasted|"
    r"touched|smoking|went through|burned through|burnt through|gone through|got through|finished|"
    r"reviewed|sampled|consumed|met)"
)
_SMALL = "two|three|four|five|six|seven|eight|nine|ten"
_COUNT = (
    rf"(?P<num>\d+|{_SMALL}|eleven|twelve|fifteen|twenty|a dozen|a couple|a pair|the pair|both|"
    r"the two|half a dozen|one|the one|just the one)"
)
_ABOUT = rf"(?:about |around |roughly |maybe |some |at least |easily |only |just )?{_COUNT}"
_HAVE = r"(?:i|we)(?: 've| have| 'd| had)?(?: now| only| just| ever| also| already| so far)*"
_OF = (
    r"(?: of (?:these|them|this|that name|this name|the box|this box|my box|mine|the lot|its kind|"
    rf"the (?:{_SMALL})))?"
)
_THIS_IS = (
    r"(?:this is|this was|this makes|this 's|it 's|it is|it was|that 's|making this|this being|"
    r"being|"
    r"which makes this|this would be|and this is|so this is|we 're on|i 'm on|today 's is)"
    r"(?: only| now| just| already)?"
)
_SHAPES: tuple[tuple[str, float], ...] = (
    (rf"(?:the |my |me |only (?:the|my) |about (?:the|my) )?{_ORDINAL} {_NOUN}{_OF}"
     rf"(?: that| which)? {_HAVE} {_SMOKED}", 3.0),
    (rf"{_THIS_IS} (?:the|my|me|our|a) {_ORDINAL}(?! third)(?: {_NOUN})?{_OF}", 3.0),
    (rf"(?:my|me|our) {_ORDINAL}(?: {_NOUN}| of that name| go at it| go)?{_OF}"
     r"(?! third| coffee| cup| drink| beer| tea)", 2.0),
    (rf"{_ORDINAL} {_NOUN} of (?:these|them|this|those|mine|my box|the box|the lot)", 3.0),
    (r"(?:this|that|which|it)(?: one)? (?:makes|will make|would make|makes it|brings it to) "
     rf"(?:it |that )?(?P<num>{_SMALL})(?= |$)", 3.0),
    (rf"(?:in total|altogether|in all)(?: i make it)? (?P<num>{_SMALL})(?= |$)", 2.5),
    (rf"(?:stick|cigar|sample|piece|number|unit) (?P<num>one|{_SMALL}) of (?:{_SMALL})", 3.0),
    (rf"{_ORDINAL} \w+ (?:with|for|on) (?:this one|it|these|this cigar|this stick|one of these)",
     2.0),
    (rf"{_ORDINAL} time (?:with|smoking|i|trying|for|out|lucky)", 2.0),
    (rf"last (?:one |stick )?of (?:the|my|these|those) {_COUNT}", 2.5),
    (rf"{_ORDINAL} of (?:the )?(?:{_SMALL}|twelve)", 2.5),
    (rf"{_ORDINAL} (?:unit|stick|cigar|piece|sample|one|specimen|go|time|try|outing)"
     r"(?: i| this| for me|$)", 2.5),
    (r"(?:notes|what follows|what you hear|what you 'll hear|this|statement|review|account|"
     rf"concerns)(?: \w+){{0,5}} (?:from|is|to|about|of|on) the {_ORDINAL}", 2.5),
    (rf"{_HAVE} {_SMOKED} {_ABOUT}(?: of (?:them|these|this|those|it)| so far| for this| now|"
     r" already| from this box| up to now| to date)", 3.0),
    (rf"{_HAVE} {_SMOKED} {_ABOUT}(?= (?:a week apart|from|at|in|one|and|this|before|counting|"
     r"over|across|since)|$)", 2.0),
    (rf"{_HAVE} {_SMOKED} {_ABOUT}", 1.5),
    (rf"(?P<open>smoked|burned|burnt|went through|gone through|been through|got through|had|tried)"
     rf" (?:about |only |just )?{_COUNT} of (?:these|them|this|those|it|mine)(?: so far| now|"
     r" already)?", 2.5),
    (rf"(?P<open>smoked|burned|burnt|went through|gone through|been through|got through) "
     rf"(?:about |only |just )?{_COUNT}", 2.0),
    (rf"(?P<open>had|tried) (?:about |only |just )?{_COUNT}(?: so far| already| now| to date)",
     2.0),
    (rf"i 'm (?:now |only |already |just )?(?P<num>{_SMALL})(?: sticks?| cigars?)? (?:in|deep)",
     2.0),
    (rf"{_COUNT} (?:of (?:them|these) )?{_HAVE} {_SMOKED}", 2.5),
    (rf"(?:number|n equals) (?P<num>one|{_SMALL}|twelve|\d+)(?: that i smoke| i smoke| for me)?",
     1.0),
    (rf"{_COUNT} (?:sticks|pieces|cigars|samples|units|of them|of these)"
     r"(?: were| have been| was| are)? (?:smoked|consumed|burned|gone|down|in all|so far|in|"
     r"for this)", 2.5),
    (rf"{_COUNT} (?:smoked|consumed|burned|finished)(?= |$)", 2.5),
    (rf"(?:stick|cigar|sample|piece|unit|specimen) number (?P<num>one|{_SMALL})", 2.5),
    (rf"there (?:were|was|have been) {_COUNT}(?= this is|$)", 1.5),
    (r"(?:i 've |i have )?(?:only|just) (?:got|had|have) (?:the )?(?P<num>one|two|three)", 2.5),
    (r"never (?:smoked|had|tried|lit) (?:one|it|this|these|this one|one of these)(?: before)?"
     r"(?P<none>)", 1.5),
)  # fmt: skip
"""What a count of sticks looks like, and how surely it is one."""

_VALUES = {
    "the pair": 2, "both": 2, "the two": 2, "a dozen": 12, "half a dozen": 6, "a couple": 2,
    "a pair": 2, "the one": 1, "just the one": 1, "one": 1, "two": 2, "three": 3, "four": 4,
    "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
    "fifteen": 15, "twenty": 20,
}  # fmt: skip


def read_samples(ground: Ground, sections: Sections) -> list[Found]:
    """`samples`: the count said, this one included."""
    mentions: list[Mention] = []
    row = ground.row
    for text, weight in _SHAPES:
        for first, end, match in row.find(pattern(text)):
            if "setup" not in (sections.of(first), sections.of(end - 1)):
                continue
            groups = match.groupdict()
            if groups.get("open") and not _opens(ground, first):
                continue
            if match[0].startswith("number") and not _of_sticks(ground, first):
                continue
            if groups.get("num") and not _counts(ground, row.span(*match.span("num"))[0], end):
                continue
            if groups.get("none") is not None:
                value: float | None = 1.0
            elif groups.get("ord"):
                value = _ordinal(groups["ord"])
            else:
                value = _count(groups.get("num"))
            if value:
                mentions.append(Mention(value, first, end, weight))
    best: Mention | None = None
    for mention in sorted(mentions, key=lambda m: (m.first, -m.weight)):
        if best is None or mention.weight > best.weight + 1:
            best = mention
            continue
        more = mention.value > best.value and mention.weight >= best.weight - 1
        mended = mention.value != best.value and mention.first >= best.end and corrects(
            ground, best.end, mention.first, reach=6
        )  # fmt: skip
        if more or mended:
            best = mention
    best = _mended(ground, best) if best else None
    return [Found("samples", int(best.value), ((best.first, best.end),))] if best else []


def _opens(ground: Ground, first: int) -> bool:
    """`Smoked three`, without a subject, at the head of a clause or a line."""
    words = ground.row.words
    return first == 0 or words[first].gap > 0 or words[first].line != words[first - 1].line


def _of_sticks(ground: Ground, first: int) -> bool:
    """True for `number four` alone or of a stick, not for `flashlight number two`."""
    before = ground.row.said(first - 1, first)
    return bool(ground.row.words[first].gap) or before in (
        "", "is", "'s", "this", "and", "so", "stick", "cigar", "on", "was", "makes", "smoke", "now",
        "my", "of", "only", "just", "at",
    )  # fmt: skip


def _counts(ground: Ground, at: int, end: int) -> bool:
    """True where the number at a word is whole in itself: not the eight of "thirty-eight"."""
    row = ground.row
    number = ground.starts.get(at)
    if number is None:
        return row.words[at].lower in ("a", "the", "just", "both")
    apart = number.end < end and row.words[number.end].gap > 0
    return number.form in ("whole", "one") and not apart


def _mended(ground: Ground, mention: Mention) -> Mention:
    """`my third, no, fourth`."""
    for number in ground.numbers_in(mention.end, mention.end + 6):
        if number.form in ("ordinal", "whole") and number.value and number.value < 100:
            said = ground.row.said(mention.end, number.first)
            if pattern(r"(?:or )?(?:no|sorry|wait|rather|i lie|make that)(?: \w+){0,2}").fullmatch(
                said
            ):
                return Mention(number.value, number.first, number.end, mention.weight)
    return mention


def _ordinal(word: str) -> float | None:
    if word[0].isdigit():
        return float(word.rstrip("stndrh"))
    if " " in word:
        tens, ones = word.split()
        return {"twenty": 20, "thirty": 30}[tens] + float(ORDINALS[ones])
    return float(ORDINALS[word])


def _count(word: str | None) -> float | None:
    if word is None:
        return None
    return float(word) if word.isdecimal() else float(_VALUES.get(word, 0)) or None
