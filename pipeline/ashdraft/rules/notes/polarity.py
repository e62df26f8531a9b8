"""Whether a note is said to be there: denials before it, leavings after it, and their scope.

A denial reaches a note over the words a denial may pass ("can't find any of that cedar") and
along a list ("no cedar or leather"); it ends where another thought begins ("no pepper, but
plenty of cedar"). What is said after the note is read from its own verb ("the pepper is gone",
"cedar I don't have") and, where the note is only a topic, from what follows in the sentence.
"""

from __future__ import annotations

from .after import after
from .follow import follow_up
from .phrases import Marks
from .scene import Scene, Stand
from .spans import Span
from .stream import COMMA, STOP, Stream

_LIST_WORDS = {"or", "nor"}
_REACH = 14
_INTERJECTED = {
    "it", "'s", "i", "that", "this", "there", "wait", "hang", "hold", "sorry", "let", "what",
    "not", "you", "we", "he", "she", "is", "was", "actually", "no", "but", "just", "rather",
}  # fmt: skip
_QUESTIONS = {
    *((be, it) for be in ("is", "was", "could", "might") for it in ("it", "that", "this")),
    *((do, "i") for do in ("do", "did", "would", "can", "could", "have", "am", "had")),
    *((be, "there") for be in ("is", "was")),
}
_SAID = {"said", "told", "wrote", "called", "say"}
_LOOKED_FOR = {"sought", "report"}
_LEAD_IN = {"PRON", "AUX", "DET"}


def stand(span: Span, scene: Scene) -> Stand:
    """The stand of one note."""
    denied = _before(span, scene)
    if denied:
        return denied
    said = after(span, scene.stream, scene.marks, scene.parts)
    if said:
        gone = said < 0 and not (_denial_ruled(span.first, scene) or _thought(span, scene))
        return Stand("absent" if gone else "present", at=span.end)
    labels = scene.labels[span.first]
    found, at = follow_up(span, scene, bool(labels & _LOOKED_FOR) or _asked(span, scene))
    if found < 0:
        return Stand("absent", at=at)
    if "sought" in labels and found == 0:
        return Stand("open")
    return Stand("present", at=at if found > 0 else -1)


def _before(span: Span, scene: Scene) -> Stand | None:
    """What a denial before the note makes of it; None where none reaches it."""
    stream, marks = scene.stream, scene.marks
    i, listed, crossed = span.first - 1, span, False
    for _ in range(_REACH):
        if i < 0 or stream.gap[i + 1] == STOP:
            return None
        if stream.gap[i + 1] == COMMA and not crossed:
            i = _over_comma(i, span, listed, scene)
            crossed = True
            if i < 0:
                return None
            continue
        crossed = False
        if marks.at(i, "deny.twice"):
            return Stand("present", faint=True, at=i)
        if marks.at(i, "deny.pseudo"):
            return None
        if marks.at(i, "deny.hardly"):
            denied = marks.at(i, "deny") and stream.low[i] == "not"
            return Stand("present", faint=True, at=i) if not denied or listed != span else None
        adjective = stream.pos[span.first] == "ADJ" or stream.low[span.head].endswith("y")
        if marks.at(i, "deny") or (adjective and marks.at(i, "deny.adjective")):
            return _denied(i, span, scene)
        other = scene.at.get(i)
        if other is None and marks.at(i, "never") and not marks.at(i, "pass"):
            i = _before_place(i, stream, marks)
            if i < 0:
                return None
            continue
        if other is not None:
            if stream.low[i + 1] in _LIST_WORDS or _pair(other, span, scene):
                i, listed = other.first - 1, other
                continue
            return None
        if stream.low[i] in _LIST_WORDS or _joins(i, span, scene):
            i -= 1
            continue
        if not (marks.at(i, "pass") or stream.pos[i] in {"ADJ", "DET"}):
            return None
        if stream.low[i] in {"it", "them"} and not _dummy(i, adjective, stream):
            return None
        i -= 1
    return None


def _dummy(i: int, adjective: bool, stream: Stream) -> bool:
    """Whether "it" before the note is no object of its own: "not call it honey", "it is"."""
    if stream.low[i + 1] in {"'s", "is", "was", "as", "to"}:
        return True
    return stream.low[i - 1] in (
        {"call", "called", "find", "found"} if adjective else {"call", "called"}
    )


def _before_place(i: int, stream: Stream, marks: Marks) -> int:
    """From "never at that stage" back to its denial; -1 where none stands before the phrase."""
    for k in range(i - 1, max(0, i - 4), -1):
        if stream.pos[k] == "ADP":
            return k - 1 if marks.at(k - 1, "deny") else -1
    return -1


def _joins(i: int, span: Span, scene: Scene) -> bool:
    return scene.stream.low[i] == "and" and i + 1 == span.first and i - 1 in scene.at


def _pair(other: Span, span: Span, scene: Scene) -> bool:
    """ "No cedar and leather": two bare names under one denial, and nothing said after them."""
    stream = scene.stream
    return (
        other.end + 1 == span.first
        and stream.low[other.end] == "and"
        and stream.gap_after(span.head) == STOP
        and not stream.raw
    )


def _over_comma(i: int, span: Span, listed: Span, scene: Scene) -> int:
    """From the word before a comma on, to the left; -1 where the comma ends the scope.

    `listed` is the first note of the list that `span` was found to stand in.
    """
    stream, other = scene.stream, scene.at.get(i)
    if other is not None and other.family:
        tied = stream.low[i + 1] in _LIST_WORDS or listed != span or _list_goes_on(span, scene)
        return other.first - 1 if tied and _bare(i + 1, listed, scene) else -1
    start = scene.parts.sentence[i][0]
    for k in range(i, max(start, i - 6), -1):
        opens = stream.gap[k] == COMMA and stream.pos[k] in {"ADP", "SCONJ", "ADV"}
        if opens and not scene.marks.at(k, "none", "repair.no"):
            return k - 1
    return -1


def _bare(first: int, span: Span, scene: Scene) -> bool:
    """Whether only list words stand between a comma and the note."""
    return all(
        scene.stream.low[k] in {"or", "nor", "any", "a", "even", "and"}
        for k in range(first, span.first)
    )


def _list_goes_on(span: Span, scene: Scene) -> bool:
    """Whether the list reaches an "or" after the note: "no oak, vanilla or toast"."""
    stream, k = scene.stream, span.end
    while k < len(stream) and stream.gap[k] < STOP:
        if stream.low[k] in _LIST_WORDS:
            return k + 1 in scene.at
        if k not in scene.at:
            return False
        k = scene.at[k].end
    return False


def _denied(i: int, span: Span, scene: Scene) -> Stand | None:
    """A denial at word `i` reaches the note: absent, unless it is itself denied or taken back."""
    stream, marks = scene.stream, scene.marks
    if stream.low[i] == "no" and (stream.gap[i + 1] or stream.low[i + 1] in _INTERJECTED):
        return None
    if stream.low[i : i + 2] == ("not", "that") and stream.low[i - 1] in {"is", "'s", "was"}:
        return None
    if stream.low[i : i + 3] == ("no", "more", "like"):
        return None
    if {"say", "use"} & set(stream.low[i + 1 : span.first]) and (
        {"often", "lightly", "lot", "much"} & set(stream.low[span.end : span.end + 2])
    ):
        return Stand("present", at=i)
    start = i
    while start > 0 and marks.at(start - 1, "deny") and stream.gap[start] < COMMA:
        start -= 1
    end = scene.parts.sentence[i][1]
    if _denial_ruled(start, scene):
        return Stand("present", at=i)
    if stream.low[i] == "without" and {"would", "'d"} & set(
        stream.low[span.end : min(end, span.end + _REACH)]
    ):
        return Stand("present")
    for k in range(span.end, min(end, span.end + 8)):
        other = scene.at.get(k)
        if (other and other.family) or (stream.gap[k] == COMMA and stream.low[k] in {"and", "but"}):
            break
        if marks.end(k, "until") and not marks.at(k, "until.pseudo"):
            return Stand("absent" if _again(span, k, end, scene) else "present", at=i)
    return Stand("absent", at=i)


def _asked(span: Span, scene: Scene) -> bool:
    """ "Is it bitter?", "Would I say walnut?": the sentence may answer itself."""
    first = span.first
    while first > scene.parts.sentence[span.first][0] and not scene.stream.gap[first]:
        first -= 1
    return scene.stream.low[first : first + 2] in _QUESTIONS


def _thought(span: Span, scene: Scene) -> bool:
    """ "I thought the butter had gone", "I said the butter had gone, but it came back"."""
    stream = scene.stream
    first = max(scene.parts.clause[span.first][0], span.first - 6)
    stop = scene.parts.sentence[span.head][1]
    if "thought" in stream.low[first : span.first]:
        return True
    around = (*range(first, span.first), *range(span.end, min(stop, span.end + 3)))
    if not any(stream.low[k] in _SAID and stream.low[k - 1] == "i" for k in around):
        return False
    return any(scene.marks.end(k, "returns") for k in range(span.end, stop))


def _denial_ruled(start: int, scene: Scene) -> bool:
    """Whether a denial at `start` is itself denied: "I wouldn't say there's no spice"."""
    stream, marks = scene.stream, scene.marks
    if stream.gap[start]:
        return False
    for k in range(max(scene.parts.sentence[start][0], start - 7), start):
        end = marks.end(k, "deny.denied")
        if end and end <= start and all(_leads(j, scene) for j in range(end, start)):
            return True
    return False


def _leads(j: int, scene: Scene) -> bool:
    """Whether word `j` can stand between a denial and the one it denies."""
    stream = scene.stream
    return stream.gap[j] < COMMA and (stream.pos[j] in _LEAD_IN or scene.marks.at(j, "pass"))


def _again(span: Span, first: int, end: int, scene: Scene) -> bool:
    """Whether the same note is named again before the sentence ends."""
    word = scene.stream.low[span.head]
    return word in scene.stream.low[first : min(end, first + 2 * _REACH)]
