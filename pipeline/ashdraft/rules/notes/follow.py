"""What the rest of a sentence makes of a note that is its topic, was looked for or asked after."""

from __future__ import annotations

from .after import AUX, BEING, NO, NOT, TOPIC_WORDS, closed, left_for_good, nothing_named
from .scene import Scene
from .spans import Span
from .stream import COMMA, NONE, Stream

_COMING = {
    "turn", "turned", "show", "showed", "shown", "appear", "appeared", "arrive", "arrived", "come",
    "came", "happen", "happened", "materialise", "materialize", "emerge", "exist",
}  # fmt: skip
_REACH, _FAR = 12, 24
_NOT_VERBS = {("not", "taste"), ("not", "smell"), ("not", "find")}
_NO_OBJECT = {
    "got", "have", "get", "any", "it", "that", "one", "here", "at", "all", "so", "there", "in",
    "this", "find", "taste", "yet", "mine", "me", "of", "for", "really", "anywhere", "them",
    "sadly",
}  # fmt: skip


def follow_up(span: Span, scene: Scene, sought: bool) -> tuple[int, int]:
    """What the rest of the sentence makes of a note that is its topic or was looked for.

    -1 not there, 1 found, 0 nothing said; and the word that says so.
    """
    stream, marks = scene.stream, scene.marks
    first, end = scene.parts.sentence[span.head]
    if stream.raw:
        end = min(end, _line_end(span, scene))
    if sought:
        end = max(end, _line_end(span, scene))
    but = 0 if "suppose" in scene.labels[span.head] else _but_not(span, end, scene)
    if but:
        return -1, but
    if not sought and not _topic(span, first, scene):
        return _never_came(span, end, scene)
    for k in range(span.end, min(end, span.end + _FAR)):
        other = scene.at.get(k)
        named = other is not None and other.first == k and other.family
        if named and not (sought and "report" in scene.labels[k]):
            return 0, -1
        if marks.end(k, "stays"):
            return 1, k
        if _says_absent(k, span, end, scene):
            return -1, k
        found = marks.end(k, "sought.yes")
        if sought and found and not _denied_near(k, found, stream):
            return 1, k
    return 0, -1


def _never_came(span: Span, end: int, scene: Scene) -> tuple[int, int]:
    """ "I gave mint a fair chance and it didn't turn up": the only note of its sentence."""
    stream, marks = scene.stream, scene.marks
    for k in range(span.end, min(end, span.end + _FAR)):
        if k in scene.at and scene.at[k].family:
            break
        pronoun = stream.low[k - 1] in {"it", "they"} or stream.low[k - 1] in {"did", "has", "have"}
        told = marks.end(k, "absent.after") and stream.low[k] in {"not", "never", "failed"}
        if told and pronoun and _COMING & set(stream.low[k : marks.end(k, "absent.after")]):
            return -1, k
    return 0, -1


def _says_absent(k: int, span: Span, end: int, scene: Scene) -> bool:
    """Whether the words at `k` say that the topic is not there."""
    stream, marks = scene.stream, scene.marks
    search = marks.end(k, "absent.search")
    verbal = stream.low[k : k + 2] not in _NOT_VERBS or stream.low[k - 1] in AUX - BEING
    if search and verbal and nothing_named(search, end, stream) and _own(k, scene):
        return True
    if marks.end(k, "absent.after"):
        return True
    gone = marks.end(k, "gone")
    if gone and _pronoun_before(k, stream) and left_for_good(gone, k, end, stream):
        return True
    looked = any(marks.end(j, "sought") for j in range(span.end, k))
    none = marks.end(k, "none") if stream.gap[k] and (looked or k <= span.end + 2) else 0
    return bool(none) and stream.low[k] not in NO and closed(none, end, stream)


def _but_not(span: Span, end: int, scene: Scene) -> int:
    """ "You'd expect chocolate, but there isn't": where the bare denial stands, or 0."""
    stream = scene.stream
    for k in range(span.end, min(end, span.end + _REACH)):
        if k in scene.at and scene.at[k].family:
            return 0
        if stream.low[k] in {"but", "and"} and stream.gap[k] == COMMA:
            if "then" in stream.low[k : k + 3]:
                return 0
            for j in range(k + 2, min(end, k + 6)):
                if stream.low[j] == "not" and stream.low[j - 1] in AUX:
                    rest = range(j + 1, _pause(j + 1, end, stream))
                    bare = all(stream.low[i] in _NO_OBJECT for i in rest)
                    return j if bare else 0
            return 0
    return 0


def _pause(k: int, end: int, stream: Stream) -> int:
    while k < end and not stream.gap[k]:
        k += 1
    return k


def _line_end(span: Span, scene: Scene) -> int:
    """The end of the note's line, or of the next where the line breaks off."""
    stream, line = scene.stream, scene.stream.line[span.head]
    end = stream.spans[line][1]
    if end < len(stream) and stream.gap[end] == NONE:
        return stream.spans[stream.line[end]][1]
    return end


def _topic(span: Span, first: int, scene: Scene) -> bool:
    """Whether the note is what the sentence is about: definite, or named first and then a pause."""
    stream = scene.stream
    line_start = stream.spans[stream.line[span.first]][0]
    first = max(first, line_start) if stream.raw else first
    if any(scene.marks.at(k, "frame.get") for k in range(max(first, span.first - 3), span.first)):
        return False
    before = stream.low[span.first - 1] if span.first > first else ""
    opens = span.first in {scene.parts.clause[span.first][0], line_start}
    if before in {"of", "for"} and span.first - first <= 3:
        return not scene.marks.at(span.first - 1, "faint", "strong")
    if before in TOPIC_WORDS or before == "whatever":
        return True
    following = stream.low[span.end] if span.end < len(stream) else ""
    return opens and (stream.gap_after(span.head) == COMMA or following in AUX or following in NO)


def _pronoun_before(k: int, stream: Stream) -> bool:
    """Whether "it" or "they" is the subject at word `k`, and it is no mere thought."""
    before = set(stream.low[max(0, k - 6) : k])
    return bool({"it", "they", "that"} & before) and not {"thought", "wherever", "until"} & before


def _own(k: int, scene: Scene) -> bool:
    return not scene.labels[k] & {"report", "other"}


def _denied_near(k: int, end: int, stream: Stream) -> bool:
    return bool(NOT & set(stream.low[max(0, k - 3) : k])) or stream.low[end : end + 1] == ("not",)
