"""How many of these sticks the speaker has smoked."""

from __future__ import annotations

from ..ground import Ground
from ..numbers import ORDINALS
from ..phrases import pattern
from .found import Found, Mention, Sections, corrects

_NOUN = (
    r"(?:one|stick|sticks|cigar|cigars|unit|units|sample|samples|piece|pieces|go|time|try|of these|"
    r"of them|of this|of the lot|specimen|smoke|encounter|attempt|outing|meeting|visit|bout)"
)
_ORDINAL = r"(?P<ord>{ords}|(?:twenty|thirty) (?:first|second|third|fourth|fifth|sixth)|\d+(?:st|nd|rd|th))"
_SMOKED = (
    r"(?:smoked|smoke|had|tried|lit|ever lit|opened|opening|burned|burnt|been through|done|tasted|"
    r"touched|smoking|burned through|burnt through|gone through|got through|finished|reviewed|sampled|consumed|met)"
)
_COUNT = r"(?P<num>\d+|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|a dozen|a couple|a pair|the pair|both|the two|half a dozen|one|the one|just the one)"


def _patterns() -> tuple[tuple[str, float], ...]:
    ordinal = _ORDINAL.replace("{ords}", "|".join(ORDINALS))
    of = r"(?: of (?:these|them|this|that name|this name|the box|this box|my box|mine|the lot|its kind|the (?:two|three|four|five|six|seven|eight|ten)))?"
    count = rf"(?:about |around |roughly |maybe |some |at least |easily |only |just )?{_COUNT}"
    have = r"(?:i|we)(?: 've| have| 'd| had)?(?: now| only| just| ever| also| already| so far)*"
    return (
        (rf"(?:the |my |me |only (?:the|my) |about (?:the|my) )?{ordinal} {_NOUN}{of}(?: that| which)? {have} {_SMOKED}", 3.0),
        (rf"(?:this is|this makes|this 's|it 's|it is|it was|that 's|making this|this being|being|which makes this|this would be|and this is|so this is|we 're on|i 'm on|today 's is)(?: only| now| just| already)? (?:the|my|me|our|a) {ordinal}(?! third)(?: {_NOUN})?{of}", 3.0),
        (rf"(?:my|me|our) {ordinal}(?: {_NOUN}| of that name| go at it| go)?{of}(?! third| coffee| cup| drink| beer| tea)", 2.0),
        (rf"{ordinal} {_NOUN} of (?:these|them|this|those|mine|my box|the box|the lot)", 3.0),
        (r"(?:this|that|which|it)(?: one)? (?:makes|will make|would make|makes it|brings it to) "
         r"(?:it |that )?(?P<num>two|three|four|five|six|seven|eight|nine|ten)(?= |$)", 3.0),
        (r"(?:in total|altogether|in all)(?: i make it)? (?P<num>two|three|four|five|six|seven|eight|nine|ten)(?= |$)", 2.5),
        (r"(?:stick|cigar|sample|piece|number|unit) (?P<num>one|two|three|four|five|six|seven) of "
         r"(?:two|three|four|five|six|seven|eight|ten)", 3.0),
        (rf"{ordinal} \w+ (?:with|for|on) (?:this one|it|these|this cigar|this stick|one of these)", 2.0),
        (rf"{ordinal} time (?:with|smoking|i|trying|for|out|lucky)", 2.0),
        (rf"last (?:one |stick )?of (?:the|my|these|those) {_COUNT}", 2.5),
        (rf"{ordinal} of (?:the )?(?:two|three|four|five|six|seven|eight|nine|ten|twelve)", 2.5),
        (rf"{ordinal} (?:unit|stick|cigar|piece|sample|one|specimen|go|time|try|outing)(?: i| this| for me|$)", 2.5),
        (rf"(?:notes|what follows|what you hear|what you 'll hear|this|statement|review|account|concerns)(?: \w+){{0,5}} (?:from|is|to|about|of|on) the {ordinal}", 2.5),
        (rf"{have} {_SMOKED} {count}(?: of (?:them|these|this|those|it)| so far| for this| now| already| from this box| up to now| to date)", 3.0),
        (rf"{have} {_SMOKED} {count}(?= (?:a week apart|from|at|in|one|and|this|before|counting|over|across|since)|$)", 2.0),
        (rf"{have} {_SMOKED} {count}", 1.5),
        (rf"{_COUNT} (?:of (?:them|these) )?{have} {_SMOKED}", 2.5),
        (r"(?:number|n equals) (?P<num>one|two|three|four|five|six|seven|eight|nine|ten|twelve|\d+)(?: that i smoke| i smoke| for me)?", 1.0),
        (rf"{_COUNT} (?:sticks|pieces|cigars|samples|units|of them|of these)(?: were| have been| was| are)? (?:smoked|consumed|burned|gone|down|in all|so far|in|for this)", 2.5),
        (rf"there (?:were|was|have been) {_COUNT}(?= this is|$)", 1.5),
        (r"(?:i 've |i have )?(?:only|just) (?:got|had|have) (?:the )?(?P<num>one|two|three)", 2.5),
        (r"never (?:smoked|had|tried|lit) (?:one|it|this|these|this one|one of these)(?: before)?(?P<none>)", 1.5),
    )  # fmt: skip


_VALUES = {
    "the pair": 2, "both": 2, "the two": 2, "a dozen": 12, "half a dozen": 6, "a couple": 2, "a pair": 2, "the one": 1,
    "just the one": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "fifteen": 15,
    "twenty": 20,
}  # fmt: skip


def read_samples(ground: Ground, sections: Sections) -> list[Found]:
    """`samples`: the count said, this one included."""
    mentions: list[Mention] = []
    row = ground.row
    for text, weight in _patterns():
        for first, end, match in row.find(pattern(text)):
            if sections.of(first) != "setup" and sections.of(end - 1) != "setup":
                continue
            groups = match.groupdict()
            if groups.get("num"):
                at = row.span(*match.span("num"))[0]
                number = ground.starts.get(at)
                if number and number.form not in ("whole", "one"):
                    continue
                if number is None and row.words[at].lower not in ("a", "the", "just", "both"):
                    continue
                if number and number.end < end and row.words[number.end].gap:
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
        if (
            best is None
            or mention.weight > best.weight + 1
            or (mention.value > best.value and mention.weight >= best.weight - 1)
        ):
            best = mention
        elif mention.value != best.value and mention.first >= best.end:
            if corrects(ground, best.end, mention.first, reach=6):
                best = mention
    best = _mended(ground, best) if best else None
    return [Found("samples", int(best.value), ((best.first, best.end),))] if best else []


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
