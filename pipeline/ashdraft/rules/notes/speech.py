"""Whose words they are and of what: marks the reach of reports, other cigars and suppositions.

The result is one set of labels a word: `report` (somebody else's finding), `other` (another
cigar), `suppose` (wished, asked, conditional), `sought` (looked for; found or not comes later),
`texture` (a clause on how it feels), `felt` (a sentence said to be about the feel only).
"""

from __future__ import annotations

from .. import data
from .clauses import Clauses
from .nouns import kind
from .phrases import Marks
from .stream import COMMA, NONE, STOP, Stream

Labels = list[set[str]]
_BACK_TO_THIS = {"here", "mine"}
_LOOK_BACK, _FAR_BACK = 9, 16
_SPEAKER = {"i", "we"}
_WHEN = {
    "at", "in", "on", "last", "before", "yesterday", "back", "for", "with", "when", "from", "up",
    "over", "out", "a", "two", "three", "one", "earlier", "this", "during", "after",
}  # fmt: skip
_NOT_THIS_ONE = {"at", "of", "like"}  # "at this point", "none of this"
_SEEMS = {"smells", "smelled", "smell", "tastes", "tasted", "taste"}  # "smells of" tells no words
_OTHERS = {"he", "she", "they", "his", "her", "their", "everyone", "everybody"}
_NOBODY = {"you", "it", "this", "that", "there", "which"}


def label(stream: Stream, marks: Marks, parts: Clauses) -> Labels:
    """The labels of every word."""
    labels: Labels = [set() for _ in range(len(stream))]
    names: set[str] = set()
    for i in range(len(stream)):
        starts = marks.starts[i]
        if not starts:
            continue
        if "say" in starts and _reported(stream, marks, i, parts.sentence[i][0]):
            _spread(labels, "report", i, _report_end(stream, marks, parts, starts["say"], i))
            set_off = stream.raw or stream.gap[parts.clause[i][0]] > NONE
            if set_off and _nothing_after(stream, starts["say"]):
                _spread(labels, "report", _said_before(i, stream, parts), i)
        if "smoked" in starts and _theirs(stream, marks, i, parts.sentence[i][0]):
            end = _report_end(stream, marks, parts, starts["smoked"], i)
            _spread(labels, "report", i, end)
        if "report" in starts:
            first = parts.clause[i][0] if stream.gap_after(starts["report"] - 1) else i
            if stream.low[i : i + 2] == ("according", "to"):
                first = max(parts.sentence[i][0], stream.spans[stream.line[i]][0])
            _spread(labels, "report", first, _report_end(stream, marks, parts, starts["report"], i))
        if "other" in starts:
            _spread(labels, "other", i, _other_end(stream, parts, i))
        if _other_stick(stream, marks, i):
            _spread(labels, "other", i, _other_end(stream, parts, i))
        name = _other_name(stream, marks, i, names)
        if name:
            names.add(name)
            _spread(labels, "other", i, _other_end(stream, parts, i))
        if "suppose" in starts and not marks.at(i, "suppose.pseudo"):
            _spread(labels, "suppose", i, _suppose_end(stream, parts, i))
        goes_on = "sought" in starts and not _ends(starts["sought"], stream)
        if goes_on and not _pronoun(starts["sought"], stream):
            _spread(labels, "sought", i, _phrase_end(stream, parts, starts["sought"]))
        if "texture.said" in starts:
            _spread(labels, "felt", *_felt(i, stream, parts))
        if "texture" in starts and not marks.at(i, "texture.not"):
            _spread(labels, "texture", parts.clause[i][0], _texture_end(i, stream, parts))
    return labels


def _texture_end(i: int, stream: Stream, parts: Clauses) -> int:
    """To the end of the clause and of the comparisons after it: "thick, like whole milk"."""
    end, stop = parts.clause[i][1], parts.sentence[i][1]
    for k in range(end, min(stop, end + _LOOK_BACK)):
        if stream.low[k] in {"like", "as"} and parts.clause[k][0] == k:
            end = parts.clause[k][1]
    return end


def _felt(i: int, stream: Stream, parts: Clauses) -> tuple[int, int]:
    """The reach of "and that's how it feels": its sentence, in a raw recording its line."""
    first, end = parts.sentence[i]
    if stream.raw:
        line = stream.spans[stream.line[i]]
        return max(first, line[0]), min(end, line[1])
    return first, end


def _said_before(i: int, stream: Stream, parts: Clauses) -> int:
    """Where a report begins that ends in "..., he says" or "so my husband informed me"."""
    first = parts.sentence[i][0]
    if stream.gap[i - 1] == NONE and stream.pos[i - 2 : i - 1] == ("NOUN",):
        return i  # "the leather everybody promised": only a remark on the speaker's own
    if stream.raw:
        first = max(first, stream.spans[stream.line[i]][0])
    own = [k for k in range(first, i) if stream.low[k] in _SPEAKER]
    return parts.clause[own[-1]][1] if own else first


def _theirs(stream: Stream, marks: Marks, i: int, first: int) -> bool:
    """Whether somebody else smoked it: "my cousin had one and it was all cherry"."""
    before = range(i - 1, max(first, i - _LOOK_BACK) - 1, -1)
    subject = next((k for k in before if stream.low[k] in _SPEAKER or marks.at(k, "them")), -1)
    return subject >= 0 and marks.at(subject, "them")


def _ends(k: int, stream: Stream) -> bool:
    """Whether no word of the same sentence follows: "which I had waited for"."""
    return k >= len(stream) or stream.gap[k] == STOP


def _pronoun(i: int, stream: Stream) -> bool:
    """Whether what is looked for is an "it" named elsewhere."""
    if i >= len(stream) or stream.low[i] in {"it", "them"}:
        return True
    noun = stream.pos[i + 1 : i + 2] in {("NOUN",), ("PROPN",), ("ADJ",)}
    return stream.low[i] in {"that", "this"} and not noun


def _spread(labels: Labels, name: str, first: int, end: int) -> None:
    for k in range(first, end):
        labels[k].add(name)


def _reported(stream: Stream, marks: Marks, i: int, first: int) -> bool:
    """Whether the verb of saying at word `i` has a subject other than the speaker.

    `first` is the start of its sentence; a verb after "and" has the subject its sentence has.
    """
    sense = marks.at(i, "say.sense")
    if stream.low[i] in _SEEMS and stream.low[i + 1 : i + 2] in {("of",), ("like",)}:
        return False
    if stream.low[i - 1] == "and" and i - 1 > first:
        for k in range(i - 2, max(first, i - _FAR_BACK) - 1, -1):
            if stream.low[k] in _SPEAKER:
                return False
            if marks.at(k, "them"):
                return True
        return False
    for k in range(i - 1, max(-1, i - _LOOK_BACK), -1):
        if stream.gap[k + 1] == STOP:
            return False
        word = stream.low[k]
        object_of = word in _NOBODY and k > 0 and stream.pos[k - 1] == "VERB"
        object_of |= stream.low[k - 1 : k + 1] == ("over", "there")
        if object_of or (word in _NOBODY and i - k > 2):
            continue
        if word in _SPEAKER and k + 1 < i and stream.gap[k] == NONE and marks.at(k - 1, "them"):
            continue  # "a reviewer I follow found"
        if word in _SPEAKER or word in _NOBODY:
            passive = word in _SPEAKER and stream.low[k + 1] in {"was", "were"} and not sense
            return passive and stream.low[i] == "told"
        if marks.at(k, "them"):
            return True
        naming = stream.pos[k] in {"NOUN", "PROPN"} and i - k <= 3
        if naming and not sense and _somebody(k, stream):
            return True
    return False


def _somebody(k: int, stream: Stream) -> bool:
    """Whether a noun before a verb of saying is a person or a name."""
    word = stream.low[k]
    if kind(word)[:1] == "h":
        return True
    first = k == stream.spans[stream.line[k]][0]
    return (stream.capital[k] and not first) or _unheard_of(word, least=3)


def _report_end(stream: Stream, marks: Marks, parts: Clauses, first: int, verb: int) -> int:
    """A report ends with its sentence, or where the speaker comes back to their own."""
    end = max(first, parts.sentence[verb][1])
    for k in range(first, end):
        if _breaks_off(stream, k):
            return k
        promised = k <= first + 1 and stream.low[first : first + 1] in {("me",), ("us",), ("i",)}
        theirs = bool(_OTHERS & set(stream.low[k : k + 2]))
        opens = parts.clause[k][0] == k and marks.at(k, "own") and not theirs
        if k > first and not promised and opens:
            return k
        if k > first and stream.low[k : k + 2] == ("and", "i"):
            return k
        if k > first + 1 and stream.low[k] == "i" and stream.gap[k] > NONE:
            return k
    return end


def _breaks_off(stream: Stream, k: int) -> bool:
    """Whether word `k` opens a line that a raw line before it does not run into."""
    return stream.raw and stream.gap[k] == COMMA


def _nothing_after(stream: Stream, end: int) -> bool:
    if stream.low[end : end + 1] in {("me",), ("us",), ("so",)}:
        end += 1
    return end >= len(stream) or stream.gap[end] == STOP


def _other_end(stream: Stream, parts: Clauses, first: int) -> int:
    end = parts.sentence[first][1]
    for k in range(first + 1, end):
        word, starts = stream.low[k], parts.clause[k][0] == k
        if _breaks_off(stream, k):
            return k
        if word == "this" and k - first > 2 and stream.low[k - 1] not in _NOT_THIS_ONE:
            return k
        if starts and (
            word in _BACK_TO_THIS
            or word == "well"
            or (word == "but" and stream.low[k - 1] != "nothing" and _i_follows(stream, k))
        ):
            return k
        if starts and word == "i" and stream.gap[k] and stream.low[k + 1 : k + 3] == ("do", "not"):
            return k
    if end < len(stream) and stream.low[end : end + 2] in {("that", "was"), ("that", "one")}:
        return parts.sentence[end][1]
    return end


def _i_follows(stream: Stream, k: int) -> bool:
    return bool({"this", "here", "i", "mine", "there"} & set(stream.low[k + 1 : k + 4]))


def _other_name(stream: Stream, marks: Marks, i: int, names: set[str]) -> str:
    """The name of another cigar that word `i` opens: "the Harrowmast I smoked on Tuesday".

    A name told so once (`names`) is another cigar wherever it comes again.
    """
    if stream.low[i] not in {"the", "that", "a"} or i + 2 >= len(stream):
        return ""
    if stream.low[i + 1] in names:
        return stream.low[i + 1]
    k = i + 1
    while k < len(stream) and k < i + 4 and stream.gap[k] == NONE and _name(stream, marks, k):
        k += 1
    if k == i + 1:
        return ""
    if stream.raw:
        told = marks.end(k, "other.after.strong") > k and stream.gap[k] < STOP
    else:
        told = any(
            marks.at(j, "other.after") and stream.gap[j] < STOP
            for j in range(k, min(k + 2, len(stream)))
        )
    return stream.low[i + 1] if told else ""


def _other_stick(stream: Stream, marks: Marks, i: int) -> bool:
    """Whether word `i` opens another cigar: "that maduro I did at Christmas", "Orvel's fat one"."""
    k = i + 1
    if stream.low[i] == "'s":
        owned = i > 0 and stream.capital[i - 1] and _unheard_of(stream.low[i - 1], least=4)
        while owned and k < i + 3 and stream.pos[k : k + 1] == ("ADJ",) and stream.gap[k] == NONE:
            k += 1
        return owned and marks.at(k, "stick")
    if stream.low[i] not in {"the", "that", "a", "another"}:
        return False
    while k < min(len(stream), i + 4) and stream.gap[k] == NONE and stream.low[k] not in _SPEAKER:
        k += 1
    if k == i + 1 or k + 2 >= len(stream) or max(stream.gap[k : k + 3]) > NONE:
        return False
    smoked = marks.at(k + 1, "smoked.verb") or (
        stream.low[k + 1] in {"had", "got"} and marks.at(k - 1, "stick")
    )
    named = marks.at(k - 1, "stick") or not (
        marks.at(k - 1, "never") or stream.low[k - 1] in data.lexicon()
    )
    return stream.low[k] in _SPEAKER and smoked and named and stream.low[k + 2] in _WHEN


def _name(stream: Stream, marks: Marks, k: int) -> bool:
    word = stream.low[k]
    if not word.isalpha() or word in _SPEAKER or marks.at(k, "never", "topic.taste", "them"):
        return False
    if stream.raw:
        return stream.pos[k] in {"NOUN", "PROPN"} and _unheard_of(word)
    return stream.capital[k]


def _unheard_of(word: str, least: int = 6) -> bool:
    """Whether a word is neither an English noun nor a tasting term."""
    return not kind(word) and word not in data.lexicon() and len(word) >= least


def _suppose_end(stream: Stream, parts: Clauses, first: int) -> int:
    """A conditional at the head of a sentence rules it to its end, another only its clause."""
    end = parts.sentence[first][1]
    heads = first - parts.sentence[first][0] <= 2
    for k in range(first + 1, end):
        if stream.low[k] == "but" or (stream.gap[k] == COMMA and not heads):
            return k
        if _breaks_off(stream, k):
            return k
    return end


def _phrase_end(stream: Stream, parts: Clauses, first: int) -> int:
    """To the end of the words that name what is looked for."""
    end = parts.sentence[min(first, len(stream) - 1)][1]
    for k in range(first, end):
        if stream.gap[k] == COMMA or (
            k > first and stream.low[k] in {"but", "and", "because", "which"}
        ):
            return k
    return end
