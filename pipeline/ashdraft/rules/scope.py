"""Which words are about this stick, and which about other sticks, people, habits or wishes."""

from __future__ import annotations

import re
from dataclasses import dataclass

from .phrases import pattern
from .stream import STOP, Stream

_VERBS = (
    "needed|needs|wanted|wants|required|had|took|takes|burned|burnt|burns|went|never|asked|got|"
    "gave|lasted|behaved|tunnelled|tunneled|canoed|died|drowned|misbehaved|refused|ran|fought"
)
_HANDLED = "touched|torched|had(?! to)|corrected|fixed|relit|smoked|lit|tried"
_NOT_A_STICK = (
    "first|second|third|fourth|fifth|last|next|only|same|other|final|right|phone|wrong|previous|"
    "whole|missing|forgotten|earlier|new|main|big|small|little|odd|one|no|every"
)
_ONE_OF = (
    r"(?:stick|cigar|unit|sample|piece|specimen)(?: number| no)? (?P<n>one|two|three|four|five|six|"
    r"[1-6]|a|b)"
)
"""One of several sticks by its number: another than this one, unless it was introduced so."""

_BY_THE_WAY = (
    r"(?: (?:mind you|mind|for the record|by the way|though|however|incidentally|to be fair|"
    r"in fairness|on the other hand|i must say|i have to say|i should say|if i remember|as i "
    r"recall|"
    r"as it happens|you know|you see|of course|actually|then|meanwhile|also|too|only|just|still))*"
)
"""What may stand between a stick and what it did."""

_STICKS = (
    r"(?:the|an|my|his|her|our|your|any|some|those|these|that|them) other(?: \w+)? "
    r"(?:{counts.scope.stick}|two|three|four|five|six|seven|eight|nine|ten|half)",
    r"(?:the|of the|all the|my|those) others",
    r"(?:with|on|in|from|for|unlike) (?:other|the rest of the) {counts.scope.stick}",
    r"(?:the )?other (?:{counts.scope.stick}|i|went|needed|took|wanted|had)",
    r"another (?:box|stick|cigar|brand|maker|house|humidor|cabinet|line|piece|company)",
    r"(?:of )?the (?:other|earlier|previous|remaining|rest|first) "
    r"(?:two|three|four|five|six|seven|eight|nine)",
    r"(?:the )?(?:previous|earlier|preceding) (?:\w+ )?{counts.scope.stick}",
    r"the {counts.scope.stick} (?:that |which )?(?:i|we)(?: 'd| have| 've| had)? "
    r"(?:just |also |only )?(?:had|smoked|did|lit|tried|reviewed|showed|opened|burned|gave)"
    r"(?! (?:just )?now)",
    r"(?<!this is )(?<! 's )the (?:last|previous|other|earlier|first) {counts.scope.stick} "
    r"(?:of (?:these|them|those) )?(?:that |which )?(?:i|we)(?: 'd| have| 've| had)? "
    r"(?:had|smoked|did|lit|tried|reviewed|opened|bought|burned)(?! left)",
    r"(?:i|we)(?: 've| 'd)? (?:had|smoked|did|lit|tried|touched up) "
    r"(?:one|it|mine|another|a|the) (?:\w+ ){0,4}{counts.scope.earlier}",
    r"(?:the|that|those|these|my|a) (?:[^ ]+ ){0,4}{counts.scope.earlier}(?: 's)?(?: "
    r"{counts.scope.stick})?",
    r"(?:that|those) (?:[^ ]+ ){0,8}{counts.scope.earlier}",
    r"last (?:week|month|night|year|summer|winter|spring|autumn|time|weekend|\w+day) 's"
    r"(?: {counts.scope.stick})?",
    r"(?:the )?(?:very )?(?:first|second|third|fourth|fifth|sixth) "
    r"(?:(?:one|stick|cigar|unit|piece|sample) )?(?:of (?:the|them|those|these|my)"
    r"(?: pair| box| lot| batch| two| three| four| five| six)? )?"
    rf"(?:i smoked|(?<=one )i (?:{_HANDLED})|(?<=stick )i (?:{_HANDLED})|"
    rf"(?:(?<=one )|(?<=stick )|(?<=cigar )|(?<=unit )|(?<=pair )|(?<=piece ))"
    rf"(?:only |just |also |never )?(?:{_VERBS})(?! (?:when|in the|this|mine)))",
    r"(?:my|the|that|our) (?:last|previous|earlier|other|first) (?:review|notes|recording|video|"
    r"session|episode|write up)(?: of (?:this|it|these|them)(?: one| cigar| stick)?)?",
    r"number (?:one|two|three|four)(?= (?:{counts.scope.earlier}|needed|had|was|went))",
    rf"(?:the|that|those) (?!{_NOT_A_STICK})\w+ (?:one|ones)"
    rf"(?={_BY_THE_WAY} (?:{_VERBS}|i (?:{_HANDLED})))",
    rf"that (?:\w+ )?one(?={_BY_THE_WAY} (?:{_VERBS}|at|in|cost))",
    r"(?:the|its|his|their) (?:bigger|smaller|older|younger|fatter|thinner|little|big) "
    r"(?:brother|sister|cousin|version)",
    r"(?:the )?maker 's other",
)
_TELLS = (
    rf"(?= (?:[^ ]+ ){{0,8}}?(?:{_VERBS}|was|different|worse|better|another story|touch ups?|"
    rf"relights?|"
    r"corrections?)(?: |$))"
)
"""Behind the number of a stick: something is told of it."""

_THIS_NUMBER = (
    r"(?:this is|this 's|today 's|today is|tonight 's|it 's|we 're on|i 'm on|is|here 's|this one "
    r"'s)"
    rf" (?:only |now |my |the |our )*{_ONE_OF}"
)
_PEOPLE = (
    r"(?:he|she) (?:keeps|kept|runs|stores|pays|paid|says|said|swears|reckons|tells(?! me)|"
    r"told(?! me)|reports|"
    r"wrote|smokes|smoked|claims|thinks|corrects|touches|always|never smokes)",
    r"{counts.scope.person}(?: (?!but|and|i|we)\w+){0,2} (?:keeps|keep|kept|runs|run|stores|"
    r"stored|pays|paid|gets|"
    r"has|needs|needed|fixes|fixed|corrects|corrected|touches|touched|torches|torched|says|"
    r"said|swears|reckons|reckoned|tells|told|reports|reported|wrote|smokes|smoked|relights|"
    r"claims|claimed|thinks|bought|rests|rested|gave me|always|never|lights|lit|relit|smoking|"
    r"burned|"
    r"burnt|ruined|torching)",
    r"(?:the )?others(?: \w+){0,3} (?:get|gets|live|lives|are|sit|sits|need|needs)",
    r"(?:the|my|our) (?!cigars|sticks|ones|notes|veins|thirds)\w+[^s]s "
    r"(?:live|lives|sit|sits|get|are kept) (?:at|on|in|by)",
    r"{counts.scope.person} 's (?:\w+ )?(?:stuff|stash|box|boxes|humidor|cabinet|tub|own|one|"
    r"ones|cigars|"
    r"sticks|stick|collection|house|place|cellar|dad|at)",
    r"(?:his|hers|theirs|yours|her own|his own|their own)(?= (?:at|are|is|in|every|all|for|a|two|"
    r"three|six|stands|sits))",
)
_NAMED = (
    r"(?:the|that|a) (?!cigar|stick|one|box|draw|burn|ash|wrapper|lighter|torch|thing|ones|band|"
    r"touch|first|second|third|last|time|same|way|what|flame|foot|taste|cedar|note|relight)(\w+) "
    r"(?:\w+ )?(?:(?:that|which|what) )?i (?:had|did|smoked|showed|reviewed|tried|opened)"
    r"(?= (?:{counts.scope.earlier}|last|on|in|at|this|for|up|back|yesterday|from|earlier|you))"
)
_KIND = (
    r"(?:wrapper|leaf|blend|brand|size|shape|kind|sort|maker|house|line|format|ring|tobacco|type|"
    r"style|series|strain)"
)
"""Behind `with this` these are more than this one stick."""

_PREPOSITIONS = frozenset("on in with for from than of like unlike to by".split())
_SO_MANY = re.compile(
    r"(?:(?:it|that)(?: 's| is| makes| was) )?(?:only )?(?:one|two|three|four|five|six|none) "
)
_BREAKS = frozenset("but so though while and because whereas".split())


@dataclass(frozen=True, slots=True)
class Scope:
    """One flag for each word of a stream."""

    other: bytes
    person: bytes
    habit: bytes
    wish: bytes

    def excluded(self, first: int, end: int | None = None) -> bool:
        """True when any of these words is about another stick, a habit or a wish."""
        span = slice(first, end if end is not None else first + 1)
        return self.elsewhere(first, end) or any(self.habit[span]) or any(self.wish[span])

    def elsewhere(self, first: int, end: int | None = None) -> bool:
        """True when any of these words is about another stick or person."""
        span = slice(first, end if end is not None else first + 1)
        return any(self.other[span]) or any(self.person[span])


def scope(row: Stream) -> Scope:
    """Mark what is not about this stick."""
    size = len(row.words)
    other, person = bytearray(size), bytearray(size)
    habit, wish = bytearray(size), bytearray(size)
    this = row.find(pattern(rf"{{counts.scope.this}}(?! {_KIND}(?: |$))"))
    marker = _Marker(row, frozenset(a for a, _, _ in this))
    sticks = [s for text in _STICKS for s in row.find(pattern(text))]
    own = {m["n"] for _, _, m in row.find(pattern(_THIS_NUMBER))}
    sticks += [s for s in row.find(pattern(_ONE_OF + _TELLS)) if s[2]["n"] not in own]
    names = {m[1] for _, _, m in row.find(pattern(_NAMED))}
    if names:
        named = "|".join(sorted(re.escape(n) for n in names))
        sticks += row.find(pattern(rf"(?:the|that|a) (?:{named})"))
    for first, end, _ in sticks:
        marker.mark(other, first, end)
    for text in _PEOPLE:
        for first, end, _ in row.find(pattern(text)):
            denied = row.said(max(first - 2, 0), first).split()
            if denied[-1:] != ["not"] and denied not in (
                ["not", "my"],
                ["not", "the"],
            ):  # "in my box, not his, at sixty"
                marker.mark(person, first, end, person=True)
    for first, end, _ in row.find(pattern("{counts.scope.habit}")):
        marker.mark(habit, first, end, back=5)
    for first, end, _ in row.find(pattern("{counts.scope.hypothesis}")):
        marker.mark(wish, first, end)
    marker.carry(other)
    return Scope(bytes(other), bytes(person), bytes(habit), bytes(wish))


class _Marker:
    """Flags as many words as one statement reaches, with or without punctuation."""

    def __init__(self, row: Stream, this: frozenset[int]) -> None:
        self.row = row
        self.this = this

    def mark(
        self, flags: bytearray, first: int, end: int, *, back: int = 0, person: bool = False
    ) -> None:
        words = self.row.words
        line_end = end == len(words) or words[end].line != words[end - 1].line
        if first and (words[first - 1].lower in _PREPOSITIONS or line_end):
            back = max(back, 6)
        start = first
        while start > 0 and first - start < back and not words[start].gap:
            if words[start - 1].lower in _BREAKS or start in self.this:
                break
            start -= 1
        stop = end
        while stop < len(words) and words[stop].gap < STOP and stop not in self.this:
            if words[stop].lower == "but" and self.returns(stop):
                break
            if words[stop].lower in _BREAKS and any(n in self.this for n in range(stop, stop + 8)):
                break
            if words[stop].lower == "so" and self.sums_up(stop):
                break
            if person and words[stop].lower in _BREAKS and self.first_person(stop):
                break
            if words[stop].line != words[end - 1].line and (
                stop - end >= 12 or self.room(end) >= 5
            ):
                break
            stop += 1
        flags[start:stop] = b"\1" * (stop - start)

    def room(self, end: int) -> int:
        """Words between `end` and the end of its line."""
        return self.row.firsts[self.row.words[end - 1].line + 1] - end

    def sums_up(self, at: int) -> bool:
        """True where `so` leads to a bare figure that ends the line or the sentence."""
        said = _SO_MANY.match(self.row.said(at + 1, at + 6) + " ")
        if not said:
            return False
        end = at + 1 + len(said[0].split())
        words = self.row.words
        return end >= len(words) or words[end].gap > 0 or words[end].line != words[at].line

    def returns(self, at: int) -> bool:
        """True where `but` leads back to this stick."""
        after = self.row.said(at + 1, at + 6)
        back = r"(?:with|for|on|in|mine|this|these|i|my|it|here|today|now)\b"
        return bool(re.match(back, after))

    def first_person(self, at: int) -> bool:
        return self.row.said(at + 1, at + 2) in ("i", "my", "we", "mine", "it", "this", "the")

    def carry(self, flags: bytearray) -> None:
        """A sentence that begins with `that one` goes on about the stick before it."""
        words = self.row.words
        for at in range(1, len(words)):
            if words[at].gap < STOP or not flags[at - 1] or flags[at]:
                continue
            start = self.row.said(at, at + 4) + " "
            _, end = self.row.sentence(at)
            that = re.search(r"\bthat (?:\w+ )?(?:one|thing|stick|cigar)\b", self.row.said(at, end))
            if that or re.match(r"(?:and |but )?(?:that one|that|they|those|them) ", start):
                flags[at:end] = b"\1" * (end - at)
