"""Every stretch of words that could name a tasting note: lexicon terms and open noun groups.

A term takes in the modifiers that change the thing ("burnt sugar", "wet slate") and the nouns
that go on from it ("cocoa husk"); words of quality stay outside ("lovely cedar").
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .. import data
from ..lines import Line
from . import nouns
from .phrases import Marks
from .stream import NONE, Stream

_NAMING = {"NOUN", "PROPN"}
_LOOSE_NAMING = {"NOUN", "PROPN", "X", "INTJ", "ADJ", "VERB", "ADV"}
_OUTSIDE = (
    "never", "strong", "faint", "deny", "none", "gone", "repair.no", "source.room",
    "source.finish", "source.retrohale",
)  # fmt: skip
_NO_NAME = ("none", "repair.no", "deny", "idiom", "them", "smells")
_DOING = ("frame.get", "frame.come", "frame.be", "smells", "strong", "faint", "say")
_VERBS = {"drops", "drop", "sticks", "stick", "leaves", "shells", "stones", "roots"}
_QUALITY = re.compile(
    r"(faded|muted|subdued|refined|balanced|layered|rounded|pronounced|concentrated|sustained"
    r"|expected|mixed|restrained|distinguished|named|called|detected|reduced|noted|loaded|needed"
    r"|received|liked|wanted|left|used|turned|seemed|tasted|reported|promised|indeed)$"
)
_OF_DEGREE = re.compile(
    r"^(full|well|high|low|long|super|ultra|extra|over|straight|bog|top|first|second|good|dead)-"
    r"|-(up|on|out|off|down|notch|rate|class|standard|quality|looking|tasting|bodied|forward)$"
)
_BEFORE_ATTRIBUTE = {"a", "an", "the", "of", "like", "with", "some", "'s", "is", "was"}
_BEFORE_GERUND = {"a", "an", "the", "of", "like", "some", "with"}
_STATELESS = {"pepper-and-heat", "sweet-spice", "wood", "taste-basics", "chocolate", "faults"}
_TAKES_ALL = {"coffee-and-tea", "grass-and-hay", "earth", "household", "bread-and-grain"}
_ADJECTIVE = re.compile(r"([a-z]{3,}?)(e?y|ish|-?like|-ey)$")


@dataclass(frozen=True, slots=True)
class Span:
    """Words `first` up to `end` of the stream; `family` is empty for words outside the lexicon.

    `core` is the first word of the lexicon term or noun inside, after its modifiers.
    """

    first: int
    end: int
    core: int
    family: str

    @property
    def head(self) -> int:
        return self.end - 1


def _hits(line: Line, words: range, stream: Stream, marks: Marks) -> list[Span]:
    """The line's lexicon terms as spans of the stream."""
    place: dict[int, list[int]] = {}
    for i in words:
        place.setdefault(stream.token[i], []).append(i)
    found = []
    for hit in line.terms:
        inside = [i for t in range(hit.first, hit.end) for i in place.get(t, ())]
        if inside and stream.low[inside[-1] + 1 : inside[-1] + 2] == ("air",):
            continue
        if inside and not _measure(stream, marks, inside[-1]) and not marks.at(inside[0], "idiom"):
            found.append(Span(inside[0], inside[-1] + 1, inside[0], hit.family))
    return found


def _joined(stream: Stream, left: int, right: int) -> bool:
    """Whether word `right` follows word `left` in the same line with nothing between."""
    return (
        0 <= left < right < len(stream)
        and stream.gap[right] == NONE
        and stream.line[left] == stream.line[right]
    )


def _merged(hits: Sequence[Span], stream: Stream, marks: Marks) -> list[Span]:
    """Joins terms that stand side by side, and lets an adjective term before a noun go.

    Without commas, terms side by side are a list.
    """
    out: list[Span] = []
    for n, span in enumerate(hits):
        before = out[-1] if out else None
        following = hits[n + 1] if n + 1 < len(hits) else None
        pair = not (following and following.first == span.end) and not (
            len(out) > 1 and out[-2].end == out[-1].first
        )
        if before and before.end == span.first and _joined(stream, before.head, span.first):
            if _adjective(before, stream):
                out[-1] = Span(
                    before.first if _keeps(stream, marks, before.head, span) else span.first,
                    span.end, span.core, span.family,
                )  # fmt: skip
                continue
            if not stream.raw or _part_of(before, span, pair, marks):
                out[-1] = Span(before.first, span.end, before.core, before.family)
                continue
        out.append(span)
    return out


def _part_of(before: Span, span: Span, pair: bool, marks: Marks) -> bool:
    """Whether a term is a part of the one before it even where no commas are written.

    `pair` tells that no third term touches the two: "maple cream", but not "cocoa honey salt".
    """
    single = before.end - before.first == 1 == span.end - span.first
    return single and (marks.at(span.head, "part.bare") or (pair and marks.at(span.head, "part")))


def _adjective(span: Span, stream: Stream) -> bool:
    return span.end - span.first == 1 and (
        span.family == "taste-basics"
        or stream.pos[span.first] == "ADJ"
        or (stream.low[span.first].endswith("y") and not nouns.kind(stream.low[span.first]))
    )


def _keeps(stream: Stream, marks: Marks, i: int, span: Span) -> bool:
    """Whether the word `i` before a term belongs to its name."""
    word, family = stream.low[i], span.family
    if word == "old" and i and stream.low[i - 1] in {"plain", "good", "same", "big", "any"}:
        return False
    if marks.at(i, "loose"):
        dried = word == "dry" and family == "fruit-dried"
        return not family or family in _TAKES_ALL or dried
    if marks.at(i, "state"):
        return family not in _STATELESS
    if marks.at(i, "dark"):
        return marks.at(span.core, "dark.head")
    if marks.at(i, "keep"):
        return True
    if stream.pos[i] in {"VERB", "ADJ"} and re.search(r"[a-z]{2}ed$", word):
        attribute = stream.pos[i] == "ADJ" or (
            stream.gap[i] == NONE and i > 0 and stream.low[i - 1] in _BEFORE_ATTRIBUTE
        )
        return attribute and not _QUALITY.search(word)
    return "-" in word and stream.pos[i] == "ADJ" and word.count("-") == 1 and len(word) > 6


def _compound(stream: Stream, marks: Marks, i: int, known: bool) -> bool:
    """Whether noun `i` before a term is part of its name ("hymn book", "camp coffee")."""
    kind = nouns.kind(stream.low[i])
    loose = kind[:1] in {"f", "p"} and stream.pos[i] in _LOOSE_NAMING
    if stream.low[i].endswith("ing") and not marks.at(i, *_DOING):
        loose |= stream.gap[i] == NONE and i > 0 and stream.low[i - 1] in _BEFORE_GERUND
    if not (loose or stream.pos[i] in _NAMING) or marks.at(i, *_OUTSIDE):
        return False
    if stream.low[i] == "leaf":
        return False
    if known and stream.raw:
        return bool(kind) and kind[0] in "fpsan"
    return not kind or not nouns.CONCRETE.isdisjoint(kind)


def _grow(span: Span, stream: Stream, marks: Marks, taken: set[int]) -> Span:
    """The span with the modifiers and nouns that belong to it."""
    first, end = span.first, span.end
    limit = 2
    while end < len(stream) and _joined(stream, end - 1, end) and end not in taken and limit:
        tags = _LOOSE_NAMING if stream.raw and stream.low[end] not in _VERBS else _NAMING
        goes_on = marks.at(end, "part") and stream.pos[end] in tags
        kind = nouns.kind(stream.low[end])
        noun = stream.pos[end] in tags and not stream.raw and kind[:1] in {"f", "p", "s"}
        if not (goes_on or noun) or marks.at(end, "never") or _adjective(span, stream):
            break
        end += 1
        limit -= 1
    limit = 3
    while first and _joined(stream, first - 1, first) and first - 1 not in taken and limit:
        grown = Span(first, end, span.core, span.family)
        if stream.low[first - 1] == stream.low[first]:
            break
        if (
            _OF_DEGREE.search(stream.low[first - 1])
            or not (
                _keeps(stream, marks, first - 1, grown)
                or _compound(stream, marks, first - 1, bool(span.family))
            )
            or _adjective(grown, stream)
        ):
            break
        first -= 1
        limit -= 1
    return Span(first, end, span.core, span.family)


def _open(stream: Stream, marks: Marks, words: range, taken: set[int]) -> list[Span]:
    """Nouns outside the lexicon that can name a thing, and adjectives made from its terms."""
    found: list[Span] = []
    for i in words:
        word = stream.low[i]
        if i in taken or len(word) < 3 or not word[0].isalpha() or marks.at(i, "never"):
            continue
        if (
            _measure(stream, marks, i)
            or _OF_DEGREE.search(word)
            or marks.at(i, "none", "repair.no", "deny", "idiom", "them", "smells")
        ):
            continue
        made = _from_term(word) if not marks.at(i, "faint", "strong") else ""
        if made and stream.pos[i] in _LOOSE_NAMING:
            found.append(Span(i, i + 1, i, made))
            continue
        if stream.pos[i] not in _NAMING:
            continue
        kind = nouns.kind(word)
        if nouns.CONCRETE.isdisjoint(kind) and (kind or word.endswith("ing")):
            continue
        follows = found and found[-1].end == i and not found[-1].family
        if follows and _joined(stream, i - 1, i):
            found[-1] = Span(found[-1].first, i + 1, found[-1].core, "")
        else:
            found.append(Span(i, i + 1, i, ""))
    return found


def _measure(stream: Stream, marks: Marks, i: int) -> bool:
    """Whether word `i` only measures what follows: "not a grain of pepper"."""
    return stream.low[i + 1 : i + 2] == ("of",) and marks.at(i, "pass", "faint", "strong")


def _from_term(word: str) -> str:
    """The family of the term an adjective is made from ("biscuity"), or nothing."""
    made = _ADJECTIVE.fullmatch(word)
    if not made:
        return ""
    known = data.lexicon()
    stem = made[1]
    return next((known[s] for s in (stem, stem + "e", stem[:-1]) if len(s) > 2 and s in known), "")


def spans(lines: Sequence[Line], stream: Stream, marks: Marks) -> tuple[Span, ...]:
    """All spans in order; no two overlap."""
    out: list[Span] = []
    for line, (start, stop) in zip(lines, stream.spans, strict=True):
        words = range(start, stop)
        out += _of_line(_hits(line, words, stream, marks), words, stream, marks)
    return tuple(out)


def _of_line(hits: Iterable[Span], words: range, stream: Stream, marks: Marks) -> list[Span]:
    merged = _merged(list(hits), stream, marks)
    taken = {i for s in merged for i in range(s.first, s.end)}
    grown: list[Span] = []
    for group in (merged, None):
        if group is None:
            group = _open(stream, marks, words, taken)
        for span in group:
            wide = _grow(span, stream, marks, taken)
            grown.append(wide)
            taken.update(range(wide.first, wide.end))
    return sorted(grown, key=lambda s: s.first)
