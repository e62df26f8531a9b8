"""All words of a recording in one row, the same for tidy and for raw transcripts.

Punctuation becomes `gap`: how strongly a word is set off from the word before it. Short forms
are written out ("can't" is "can not", "gettin'" is "getting", "nae" is "no"), so that rules
and cue phrases need one spelling.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ..lines import Line

NONE, COMMA, STOP = 0, 1, 2
_STOPS = set(".!?;")
_PAUSES = set(',:-–—…()"“”/')
_SHORT = {
    "n't": "not", "n’t": "not", "nt": "not", "'ve": "have", "’ve": "have", "'re": "are",
    "’re": "are", "'m": "am", "’m": "am", "'ll": "will", "’ll": "will", "’s": "'s", "’d": "'d",
    "ca": "can", "wo": "will", "sha": "shall", "ai": "is", "nae": "no", "naw": "nah",
    "nope": "no", "o'": "of", "'em": "them", "ol'": "old", "'cause": "because", "em": "them",
    "dont": "do not", "cant": "can not", "isnt": "is not", "wasnt": "was not", "im": "i am",
    "didnt": "did not", "doesnt": "does not", "wont": "will not", "aint": "is not",
    "hasnt": "has not", "havent": "have not", "hadnt": "had not", "couldnt": "could not",
    "wouldnt": "would not", "arent": "are not", "ive": "i have", "theres": "there 's",
    "thats": "that 's", "cannae": "can not", "didnae": "did not", "wouldnae": "would not",
    "isnae": "is not", "doesnae": "does not", "wasnae": "was not", "cannot": "can not",
    "dinnae": "do not", "couldnae": "could not", "hasnae": "has not", "anymore": "any more",
    "gimme": "give me", "lotta": "lot of", "kinda": "kind of", "sorta": "sort of",
    "lots": "lots", "ain't": "is not", "its": "its", "nowt": "nothing", "owt": "anything",
}  # fmt: skip
_LEANS = {"DET", "ADP", "AUX", "CCONJ", "SCONJ", "PART"}  # a filler after these is no pause
_FILLERS = {"um", "uh", "er", "erm", "hmm", "hm", "mm", "euh", "eh", "ah", "oh", "uhm", "ehm"}


@dataclass(frozen=True, slots=True)
class Stream:
    """Parallel columns, one entry a word.

    `low` the word in its plain spelling, `pos` its part of speech, `line` the index of its line,
    `token` its token in that line, `gap` the break before it (NONE, COMMA or STOP), `capital`
    whether it is written with one. `spans` gives the half-open range of words of each line;
    `raw` tells a recording without punctuation.
    """

    low: tuple[str, ...]
    pos: tuple[str, ...]
    line: tuple[int, ...]
    token: tuple[int, ...]
    gap: tuple[int, ...]
    capital: tuple[bool, ...]
    spans: tuple[tuple[int, int], ...]
    raw: bool

    def __len__(self) -> int:
        return len(self.low)

    def gap_after(self, i: int) -> int:
        """The break after word `i`; the end of the recording is a STOP."""
        return self.gap[i + 1] if i + 1 < len(self.gap) else STOP


@cache
def plain(word: str) -> tuple[str, ...]:
    """One spelled word as the plain words it stands for."""
    if word in _SHORT:
        return tuple(_SHORT[word].split())
    if re.fullmatch(r"[a-z]{2,}in['’]", word):
        return (word[:-1] + "g",)
    return (word,)


def plain_phrase(phrase: str) -> tuple[str, ...]:
    """A phrase as typed in a cue file, in the same plain words as the stream."""
    words: list[str] = []
    for part in phrase.split():
        for piece in re.sub(r"(n['’]t|['’](?:s|ve|re|m|ll|d))$", r" \1", part).split():
            words += plain(piece)
    return tuple(words)


_Word = tuple[str, str, int, int, bool]  # word, part of speech, token, gap before, capital


def _line_words(line: Line) -> list[_Word]:
    words: list[_Word] = []
    gap, filled = NONE, False
    for k, token in enumerate(line.tokens):
        if not token.is_word:
            marks = set(token.text)
            if marks & _STOPS and not (filled and "..." in token.text):
                gap = STOP
            elif marks & _PAUSES and not filled:
                gap = max(gap, COMMA)
            continue
        low = token.lower
        if re.fullmatch(r"[a-z]{2,}in", low) and _clipped(line, k):
            low += "'"
        if low in _FILLERS:
            leans = bool(words) and words[-1][1] in _LEANS and words[-1][0] not in {"no", "nah"}
            gap = NONE if leans and gap < STOP else max(gap, COMMA)
            filled = leans
            continue
        if low.startswith("nothin") and low != "nothing":
            low = "nothing"
        for n, word in enumerate(plain(low)):
            at_first = n == 0
            capital = token.text[0].isupper()
            words.append((word, token.pos, k, gap if at_first else NONE, capital))
        gap, filled = NONE, False
    return words


def _clipped(line: Line, k: int) -> bool:
    """Whether token `k` is followed by an apostrophe of its own: "burnin' end"."""
    token, following = line.tokens[k], line.tokens[k + 1 : k + 2]
    return (
        bool(following)
        and following[0].text in {"'", "’"}
        and (following[0].at == token.at + len(token.text))
    )


_LONGEST = 150  # words; nobody's sentence goes on longer
# A raw line that ends in one of these goes on in the next.
_OPEN_END = {
    "and", "or", "but", "nor", "the", "a", "an", "of", "with", "to", "from", "for", "by", "than",
    "as", "am", "'s", "'d", "any", "my", "its", "your", "his", "her", "very", "if", "when",
    "because", "which", "who", "getting", "got", "gets", "tasting", "like", "have", "has", "had",
    "will", "would", "could", "can", "till", "until", "says", "reckons", "some", "into", "at",
    "about", "under", "behind", "almost", "wet", "black", "white", "dark", "burnt", "roasted",
    "toasted",
}  # fmt: skip
# One that ends in one of these does so unless a new clause follows.
_HALF_OPEN_END = {
    "it", "that", "there", "really", "bit", "more", "mean", "so", "over", "off", "up", "no",
    "not",
}  # fmt: skip
# These can also take "the" or "a" in the next line.
_VERB_END = {
    "just", "only", "still", "all", "mostly", "in", "on", "through", "comes", "is", "are", "was",
    "were", "be", "been", "get", "find", "do", "did",
}  # fmt: skip
_BEFORE_NO = {
    "'s", "is", "was", "are", "were", "get", "got", "have", "had", "and", "but", "find", "with",
    "or", "there", "taste", "do", "still", "has", "absolutely",
}  # fmt: skip
_MODALS = {"can", "will", "could", "would"}
_SUBJECTS = {"i", "you", "we", "he", "she", "they"}
_VERBAL = {"VERB", "AUX", "ADV", "PART"}
# A raw line that starts with one of these goes on from the one before.
_OPEN_START = {
    "any", "of", "left", "more", "on", "in", "either", "at", "was", "is", "too", "as", "to",
    "than", "up", "for", "from", "over", "none", "be", "yet", "coming", "again", "though",
    "which", "because", "or", "and", "but", "only", "out", "says", "reckons", "swears", "claims",
    "thinks", "calls",
}  # fmt: skip
_NEW_CLAUSE = {
    "i", "you", "we", "he", "she", "they", "it", "there", "that", "this", "the", "a", "an", "my",
    "no", "so", "now", "well", "okay", "right", "and", "but", "then", "if", "what", "not", "can",
    "here", "when", "where", "why", "how", "once", "after", "because",
}  # fmt: skip


def build(lines: Sequence[Line]) -> Stream:
    """The stream of some lines.

    Between two lines stands a STOP, except where the first breaks off: in a punctuated recording
    by having no stop at its end, in a raw one by its last word or by the next line's first.
    """
    row: list[_Word] = []
    at: list[int] = []
    gaps: list[int] = []
    spans: list[tuple[int, int]] = []
    ends = [_end(line) for line in lines]
    raw = sum(e > NONE for e in ends) * 2 < len(ends)
    before, since = STOP, 0
    for n, line in enumerate(lines):
        words = _line_words(line)
        start = len(row)
        for k, word in enumerate(words):
            gap = word[3]
            if k == 0 and row:
                gap = _between(row, word, before, raw)
            since = 0 if gap == STOP else since + 1
            if since > _LONGEST:
                gap, since = STOP, 0
            row.append(word)
            at.append(n)
            gaps.append(gap if row[1:] else STOP)
        spans.append((start, len(row)))
        before = ends[n] if words else STOP
    columns = list(zip(*row, strict=True)) or [()] * 5
    low, pos, tokens, _, capital = columns
    return Stream(low, pos, tuple(at), tokens, tuple(gaps), capital, tuple(spans), raw)


def _end(line: Line) -> int:
    """The break a line's own last mark makes."""
    if not line.tokens or line.tokens[-1].is_word:
        return NONE
    marks = set("".join(t.text for t in line.tokens[-2:] if not t.is_word))
    return STOP if marks & _STOPS else COMMA


def _between(row: Sequence[_Word], following: _Word, end: int, raw: bool) -> int:
    """The break between the words so far and the next line's first; `end` is the break shown."""
    last, (first, tag) = row[-1], following[:2]
    if end or not raw:
        return end
    if last[0] in {"kind", "sort"}:
        return NONE if first == "of" else STOP
    if last[0] == "still" and first == "there":
        return NONE
    if last[0] in _MODALS and last[1] != "AUX":
        return STOP
    if last[0] == "me" and row[-2:-1] and row[-2][0] in {"told", "tells"}:
        return NONE
    if last[0] == "all" and row[-2:-1] and row[-2][0] == "and":
        return STOP
    if last[0] in _SUBJECTS:
        return NONE if tag in _VERBAL else STOP
    if last[0] in _OPEN_END and not (last[1] == "DET" and first in _NEW_CLAUSE):
        return NONE
    if last[0] == "more" and row[-2:-1] and row[-2][0] == "any":
        return STOP
    if last[0] in _HALF_OPEN_END and first not in _NEW_CLAUSE:
        return STOP if last[0] == "no" and row[-2:-1] and row[-2][0] not in _BEFORE_NO else NONE
    if last[0] in _VERB_END and first not in _NEW_CLAUSE - {"the", "a", "an"}:
        return NONE
    return COMMA if first in _OPEN_START else STOP
