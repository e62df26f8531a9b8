"""The words of a whole recording in one row, so that a rule can look across a cut.

Lower case, contractions taken apart (`it's` -> `it` `'s`, `didn't` -> `did` `not`), compounds
taken apart at the hyphen, hesitations left out. Punctuation and long silences live on as the
`gap` before a word, because a recogniser may give no punctuation at all.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from .lines import Line


def words(text: str) -> frozenset[str]:
    """The words of a text as a set: how word lists are written in these rules."""
    return frozenset(text.split())


COMMA, STOP = 1, 2
"""Values of `Word.gap`: a comma or dash, the end of a sentence (0: nothing between)."""

SILENCE = 3.0
"""Seconds without speech that end a sentence where there is no punctuation."""

HANGING = words("and the a an of 's 'm 've 'd 'll my because if but than")
"""Words that end no sentence: where many lines end in one, the lines are cut at breaths."""

CUT = 0.05
"""Share of lines ending in such a word from which a transcript counts as cut at breaths."""

HESITATIONS = words("um umm uh uhh er erm eh euh hm hmm mm mmm ah")

_PIECE = re.compile(
    r"(?P<figure>\d+(?:[.,:]\d+)*(?:/\d+)?(?:st|nd|rd|th)?(?![^\W\d_]{3}))"
    r"|(?P<sign>[¼½¾⅓⅔⅛⅜⅝⅞$£€¥₹%×])"
    r"|(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)"
)
_ENDING = re.compile(r"(.+?)(n't|'(?:s|ve|d|ll|m|re))$")
_WHOLE_FORMS = {
    "can't": ("can", "not"), "cannot": ("can", "not"), "won't": ("will", "not"),
    "shan't": ("shall", "not"), "ain't": ("is", "not"), "dont": ("do", "not"),
    "didnt": ("did", "not"), "doesnt": ("does", "not"), "isnt": ("is", "not"),
    "wasnt": ("was", "not"), "hasnt": ("has", "not"), "havent": ("have", "not"),
    "hadnt": ("had", "not"), "couldnt": ("could", "not"), "wouldnt": ("would", "not"),
    "thats": ("that", "'s"), "theres": ("there", "'s"), "heres": ("here", "'s"),
    "ive": ("i", "'ve"), "im": ("i", "'m"), "outta": ("out", "of"), "touchup": ("touch", "up"),
    "touchups": ("touch", "ups"), "touchedup": ("touched", "up"), "gotta": ("got", "to"),
    "cannae": ("can", "not"), "dinnae": ("do", "not"), "willnae": ("will", "not"),
    "should've": ("should", "have"), "could've": ("could", "have"),
    "would've": ("would", "have"), "must've": ("must", "have"), "naw": ("no",),
    "nah": ("no",), "nope": ("no",), "nae": ("no",), "halfway": ("half", "way"),
    "midway": ("mid", "way"), "%": ("percent",), "centimetre": ("centimeter",),
    "centimetres": ("centimeters",), "millimetre": ("millimeter",),
    "millimetres": ("millimeters",),
}  # fmt: skip


@lru_cache(maxsize=8192)
def _plain(word: str) -> str:
    """Lower case, straight apostrophe, Latin letters without their accents."""
    lower = word.lower().replace("’", "'")
    if lower.isascii() or lower in "½¼¾⅓⅔⅛⅜⅝⅞£€¥₹×":
        return lower
    bare = "".join(c for c in unicodedata.normalize("NFKD", lower) if not unicodedata.combining(c))
    return bare if bare.isascii() and bare else lower


@dataclass(frozen=True, slots=True)
class Word:
    """`line` counts lines from 0; `start` and `stop` are offsets in that line's text.

    `hesitant` is true where a hesitation stood before the word.
    """

    lower: str
    line: int
    start: int
    stop: int
    gap: int = 0
    hesitant: bool = False


@lru_cache(maxsize=8192)
def _parts(word: str) -> tuple[str, ...]:
    """A lower-case word taken apart at its contraction."""
    if word in _WHOLE_FORMS:
        return _WHOLE_FORMS[word]
    if ending := _ENDING.match(word):
        stem, tail = ending.groups()
        return (stem, "not") if tail == "n't" else (stem, tail)
    if word.endswith("nae") and word[:-3] in {
        "did", "does", "is", "was", "has", "have", "had", "would", "could", "should",
    }:  # fmt: skip
        return (word[:-3], "not")
    return (word,)


def _gap(between: str) -> int:
    if not between or between.isspace() or between == "-":
        return 0
    if re.search(r"[.?!…;]", between):
        return STOP
    return COMMA if re.search(r"[,:()—–\"“”]|\s-|-\s", between) else 0


def split_words(text: str, line: int = 0) -> list[Word]:
    """The words of one text."""
    words: list[Word] = []
    last, gap, hesitant = 0, 0, False
    for piece in _PIECE.finditer(text):
        start, stop = piece.span()
        gap, last = max(gap, _gap(text[last:start])), stop
        lower = _plain(piece[0])
        unit = lower == "mm" and bool(words) and words[-1].lower[0].isdigit()
        if lower in HESITATIONS and not unit:  # "140 mm" is a measure
            hesitant, gap = True, 0 if gap == COMMA else gap
            continue
        if hesitant and gap == COMMA:
            gap = 0
        if lower.endswith("in") and len(lower) > 3 and text[stop : stop + 1] in ("'", "’"):
            lower += "g"
        if lower == "cent" and not gap and words and words[-1].lower == "per":
            words[-1] = replace(words[-1], lower="percent", stop=stop)
            continue
        parts = _parts(lower)
        for n, part in enumerate(parts):
            from_, to = (start, stop) if n == 0 else (stop, stop)
            if n == 0 and len(parts) > 1 and lower.startswith(part):
                to = start + len(part)
            elif n and lower.startswith("".join(parts[:n])):
                from_ = start + len("".join(parts[:n]))
            words.append(Word(part, line, from_, to, 0 if n else gap, hesitant and n == 0))
        gap, hesitant = 0, False
    return words


@dataclass(frozen=True, slots=True)
class Stream:
    """All words, the lines they came from, and the words as one searchable text."""

    lines: tuple[Line, ...]
    words: tuple[Word, ...]
    text: str
    offsets: tuple[int, ...]
    firsts: tuple[int, ...]

    def find(self, pattern: re.Pattern[str], first: int = 0, end: int | None = None) -> Iterator[
        tuple[int, int, re.Match[str]]
    ]:  # fmt: skip
        """Matches of a pattern as (first word, end word, match), within words `first` to `end`.

        A pattern must begin and end at the border of a word. No match runs over the end of a
        sentence.
        """
        stop = len(self.text) if end is None or end >= len(self.offsets) else self.offsets[end]
        start = self.offsets[first] if first < len(self.offsets) else stop
        while match := pattern.search(self.text, start, stop):
            a, b = self.span(match.start(), match.end())
            cut = next((n for n in range(a + 1, b) if self.words[n].gap == STOP), None)
            if cut is not None:
                shorter = pattern.match(self.text, match.start(), self.offsets[cut] - 1)
                if shorter is None:
                    start = self.offsets[a + 1]
                    continue
                match, b = shorter, self.span(shorter.start(), shorter.end())[1]
            yield a, b, match
            start = max(match.end(), match.start() + 1)

    def span(self, start: int, stop: int) -> tuple[int, int]:
        """Word indices (first, end) of a piece of `text`."""
        return bisect_right(self.offsets, start) - 1, bisect_left(self.offsets, stop)

    def said(self, first: int, end: int) -> str:
        """Words `first` up to `end`, joined by blanks."""
        return " ".join(w.lower for w in self.words[max(first, 0) : end])

    def line_words(self, line: int) -> tuple[int, int]:
        """Word indices (first, end) of a line."""
        return self.firsts[line], self.firsts[line + 1]

    def sentence(self, at: int, reach: int = 40) -> tuple[int, int]:
        """Word indices of the sentence around a word: between stops, `reach` words at most."""
        first, end = at, at + 1
        while first > 0 and at - first < reach and self.words[first].gap < STOP:
            first -= 1
        while end < len(self.words) and end - at < reach and self.words[end].gap < STOP:
            end += 1
        return first, end

    def clause(self, at: int, reach: int = 14) -> tuple[int, int]:
        """Like `sentence`, but between commas too."""
        first, end = at, at + 1
        while first > 0 and at - first < reach and not self.words[first].gap:
            first -= 1
        while end < len(self.words) and end - at < reach and not self.words[end].gap:
            end += 1
        return first, end


def _whole_sentences(lines: Sequence[Line], split: Sequence[Sequence[Word]]) -> bool:
    """True where nothing is punctuated, yet the lines are sentences and not cut at breaths."""
    said = [(line, words) for line, words in zip(lines, split, strict=True) if words]
    if sum(line.text.rstrip()[-1:] in ".?!…" for line, _ in said) > 0.3 * len(said):
        return False
    hanging = sum(words[-1].lower in HANGING for _, words in said)
    return hanging < CUT * len(said) or not hanging


def stream(lines: Sequence[Line]) -> Stream:
    """Put the words of all lines in one row."""
    split = [split_words(line.text, n) for n, line in enumerate(lines)]
    whole = _whole_sentences(lines, split)
    words: list[Word] = []
    firsts: list[int] = []
    for n, (line, own) in enumerate(zip(lines, split, strict=True)):
        firsts.append(len(words))
        if own and n:
            before = lines[n - 1]
            tail = before.text.rstrip()[-1:]
            gap = max(_gap(tail) if not tail.isalnum() else 0, own[0].gap)
            if whole or line.start - before.end > SILENCE:
                gap = STOP
            head = own[0]
            own[0] = Word(head.lower, n, head.start, head.stop, gap, head.hesitant)
        words += own
    firsts.append(len(words))
    offsets: list[int] = []
    place = 0
    for word in words:
        offsets.append(place)
        place += len(word.lower) + 1
    text = " ".join(w.lower for w in words)
    return Stream(tuple(lines), tuple(words), text, tuple(offsets), tuple(firsts))
