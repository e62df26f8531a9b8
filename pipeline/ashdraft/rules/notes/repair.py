"""Notes that a speaker takes back: "walnut, or rather pecan" leaves only the pecan."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from .after import AUX
from .scene import Scene, Stand
from .spans import Span
from .stream import COMMA, NONE, STOP, Stream

_REACH, _TO_CUE = 18, 9
_NAMES_ONE = {"of", "the", "a", "an", "some", "that", "this"}  # "some sort of wood"
_OWNERS = {"my", "your", "his", "her", "our", "their"}
_CONTRAST = {"but", "so", "wait", "though", "however", "then", "no", "actually", "instead"}
_DECIDED = {
    "really", "decided", "since", "now", "rather", "more", "turned", "turns", "proved", "realised",
    "realized", "settled", "until", "till", "later", "was", "is", "'s",
}  # fmt: skip
_AFTER_NO = {
    "it", "'s", "i", "that", "this", "wait", "hang", "hold", "sorry", "let", "what", "not",
    "actually", "is", "rather",
}  # fmt: skip


def withdrawn(scene: Scene, stands: Sequence[Stand]) -> set[int]:
    """The indices of the spans that were taken back."""
    gone: set[int] = set()
    retractions = [k for k, starts in enumerate(scene.marks.starts) if "retract" in starts]
    for n, span in enumerate(scene.spans):
        if stands[n].state == "absent":
            continue
        if (
            _taken_back(n, scene, stands)
            or _self_denied(n, scene, stands)
            or (
                _became(n, scene)
                or _dropped(span, scene)
                or _retracted(span, retractions, scene)
                or _general(n, scene, stands)
                or _measured_against(span, scene)
            )
        ):
            gone.add(n)
    gone |= {m for n in gone for m in _others_of(n, scene, stands)}
    return gone


def term(span: Span, stream: Stream) -> tuple[str, ...]:
    """The plain words of a span."""
    return stream.low[span.first : span.end]


def _following(n: int, scene: Scene) -> Iterator[int]:
    """Spans after span `n`, in its line or where its sentence goes on."""
    stream, spans = scene.stream, scene.spans
    line = stream.line[spans[n].head]
    for m in range(n + 1, len(spans)):
        if spans[m].first - spans[n].end > _REACH:
            return
        if stream.line[spans[m].first] != line:
            start = stream.spans[stream.line[spans[m].first]][0]
            opens = any(scene.marks.end(k, "repair.strong") for k in range(start, start + 2))
            if stream.gap[start] == STOP and not opens:
                return
            if stream.line[spans[m].first] > line + 1:
                return
        yield m


def _taken_back(n: int, scene: Scene, stands: Sequence[Stand]) -> bool:
    """Whether a cue of repair follows span `n` and another asserted word follows the cue."""
    span, words = scene.spans[n], term(scene.spans[n], scene.stream)
    others = [
        scene.spans[m] for m in _following(n, scene)
        if stands[m].state == "present" and term(scene.spans[m], scene.stream) != words
        and scene.stream.low[scene.spans[m].first - 1] not in _OWNERS
    ]  # fmt: skip
    if not others:
        return False
    last = others[-1]
    if _only_thought(span, last, scene):
        return True
    first_known = next((o.first for o in others if o.family), last.first)
    for k in range(span.end, min(first_known, span.end + _TO_CUE)):
        end = _cue_end(k, span, scene)
        if end and any(o.first >= end for o in others):
            return True
    return False


def _only_thought(span: Span, by: Span, scene: Scene) -> bool:
    """ "I had sourdough written here, but it was rye", "what I called honey is really syrup"."""
    stream, marks = scene.stream, scene.marks
    start = max(scene.parts.sentence[span.first][0], span.first - 6)
    thought = any(
        marks.end(k, "repair.thought") and not any(j in scene.at for j in range(k, span.first))
        for k in range(start, span.first)
    )
    noted = any(marks.end(k, "repair.noted") for k in range(span.end, min(by.first, span.end + 3)))
    if not (thought or noted):
        return False
    between = set(stream.low[span.end : by.first])
    return bool(_CONTRAST & between) or (thought and bool(_DECIDED & between))


def _self_denied(n: int, scene: Scene, stands: Sequence[Stand]) -> bool:
    """ "Cream, or, not cream, butter", "bitter, no, it's not bitter": denied in the same breath."""
    span, stream = scene.spans[n], scene.stream
    words = term(span, stream)
    for m in _following(n, scene):
        other = scene.spans[m]
        if stands[m].state != "absent" or term(other, stream) != words:
            continue
        if stream.line[other.first] != stream.line[span.head]:
            return False
        return not any(
            cue.startswith("source.") for k in range(span.end, other.first)
            for cue in scene.marks.starts[k]
        ) and not {"now", "longer", "more", "anymore", "today"} & set(
            stream.low[span.end : other.end + 3]
        )  # fmt: skip
    return False


def _became(n: int, scene: Scene) -> bool:
    """ "The bread turned to toast", "the cocoa got baked down into brownie": only the last is."""
    span, stream, marks = scene.spans[n], scene.stream, scene.marks
    stop = min(scene.parts.sentence[span.head][1], span.end + 7)
    for k in range(span.end, stop):
        if stream.gap[k] > NONE or (k in scene.at and scene.at[k].family):
            return False
        if marks.end(k, "became.into"):
            return True
        end = marks.end(k, "became.to")
        if not end and stream.low[k] not in AUX and stream.pos[k] not in {"AUX", "ADV", "PART"}:
            return False
        if end:
            following = next((scene.spans[m] for m in _following(n, scene)), None)
            return bool(
                following and following.family and following.first >= end
                and all(stream.pos[j] in {"DET", "ADJ", "ADP", "ADV"} for j in
                        range(end, following.first))
            )  # fmt: skip
    return False


def _cue_end(k: int, span: Span, scene: Scene) -> int:
    """Where a cue that takes `span` back ends, if one starts at word `k`; else 0."""
    stream, marks = scene.stream, scene.marks
    end = marks.end(k, "repair.strong")
    if end:
        return end
    if _bare_no(k, scene):
        return k + 1
    end = marks.end(k, "repair.weak")
    if not end or stream.gap[k] == NONE or stream.low[k - 1] in {"and", "or"}:
        return 0
    if k - span.end > 1:
        return end if _replaces(end, scene) else 0
    following = scene.at.get(end)
    paused = end < len(stream) and stream.gap[end] > NONE
    paused = paused or bool(following and following.family)
    return end if paused or stream.low[k] in {"rather", "actually"} else 0


def _replaces(end: int, scene: Scene) -> bool:
    """Whether a new name stands alone after a hesitation: "wait, tasting again, macadamia"."""
    stream = scene.stream
    for k in range(end, min(len(stream), end + 5)):
        if stream.gap[k] == STOP:
            return False
        if k in scene.at:
            named = stream.low[k - 1] in {"'s", "is", "was", "a", "more"}
            set_off = named or stream.gap[k] == COMMA
            return set_off and stream.gap_after(scene.at[k].head) > NONE
        if stream.low[k] in {"and", "with", "too", "also", "plus", "on", "in"}:
            return False
    return False


def _bare_no(k: int, scene: Scene) -> bool:
    """Whether word `k` is a "no" that stands alone, and not "no cedar"."""
    stream = scene.stream
    if not scene.marks.end(k, "repair.no") or k + 1 >= len(stream):
        return False
    paused = stream.gap[k + 1] > NONE and (
        stream.gap[k] > NONE or stream.low[k - 1] in {"or", "well", "but"}
    )
    return paused or (stream.raw and stream.low[k + 1] in _AFTER_NO)


def _dropped(span: Span, scene: Scene) -> bool:
    """ "I want to say walnut, actually no": taken back for nothing, where the sentence ends."""
    stream, marks = scene.stream, scene.marks
    stop = scene.parts.sentence[span.head][1]
    for k in range(span.end, min(stop, span.end + _TO_CUE)):
        if k in scene.at and scene.at[k].family:
            return False
        end = marks.end(k, "repair.end")
        if end and (end >= stop or stream.line[end] != stream.line[k]):
            return True
    return False


def _retracted(span: Span, retractions: Sequence[int], scene: Scene) -> bool:
    """ "I retract the treacle": what is named goes, here and in the two lines before."""
    stream = scene.stream
    if _follows(span, "retract", scene):
        return True
    line = stream.line[span.head]
    stop = stream.spans[min(line + 2, len(stream.spans) - 1)][1]
    for k in retractions[bisect_left(retractions, span.end) :]:
        if k >= stop:
            return False
        end = scene.marks.end(k, "retract")
        later = scene.at.get(end) or scene.at.get(end + 1)
        if later and stream.low[later.head] == stream.low[span.head]:
            return True
    return False


def _follows(span: Span, cue: str, scene: Scene) -> bool:
    """Whether a phrase of the cue leads up to the note, with at most one word between."""
    ends = (scene.marks.end(k, cue) for k in range(max(0, span.first - 6), span.first))
    return any(end and span.first - end in {0, 1} for end in ends)


def _general(n: int, scene: Scene, stands: Sequence[Stand]) -> bool:
    """ "Some sort of wood, oak": the general word gives way to an exact one of its family."""
    span, stream = scene.spans[n], scene.stream
    if _vague(span, stream) and span.family == "taste-basics":
        return any(
            stands[m].state == "present" and scene.spans[m].family
            and _apposed(span, scene.spans[m], stream) for m in _following(n, scene)
        )  # fmt: skip
    if span.end - span.first > 1 or not scene.marks.at(span.first, "general"):
        return False
    for m in _following(n, scene):
        other = scene.spans[m]
        if stands[m].state == "present" and other.family and _is_that(span, other, stream):
            return True
        if stands[m].state != "present" or other.family != span.family:
            continue
        exact = stream.low[other.head] == stream.low[span.head] and other.end - other.first > 1
        if scene.marks.at(span.end, "tag"):
            return False
        if exact and (not stream.raw or other.first == span.end):
            return "and" not in stream.low[span.end : other.first]
        named = stream.low[span.first - 1] in _NAMES_ONE or exact
        return named and _apposed(span, other, stream)
    return False


def _vague(span: Span, stream: Stream) -> bool:
    """ "Something sweetish", "that sweet thing": an adjective for a note still to be named."""
    after = stream.low[span.end : span.end + 1]
    return span.end - span.first == 1 and (
        stream.low[span.first - 1] == "something" or after == ("thing",)
    )


def _apposed(span: Span, other: Span, stream: Stream) -> bool:
    """Whether a second name follows a first after a pause, and not as another note."""
    between = range(span.end, other.first)
    paused = any(stream.gap[k] == COMMA for k in (*between, other.first))
    added = any(
        stream.low[k] in {"with", "plus", "also", "then", "but", "or"}
        or (stream.low[k] == "and" and stream.low[k + 1] not in {"it", "i", "that"})
        for k in between
    )
    return paused and not added and len(between) <= _TO_CUE


def _is_that(span: Span, other: Span, stream: Stream) -> bool:
    """ "The spice at this stage is paprika"."""
    between = stream.low[span.end : other.first]
    told = stream.low[span.first - 1] in {"the", "that", "what"} and len(between) <= _TO_CUE
    return told and between[-1:] in {("is",), ("was",), ("'s",)}


def _measured_against(span: Span, scene: Scene) -> bool:
    """ "More brandy than rum": what it is measured against is not claimed."""
    low = scene.stream.low
    k = span.first - 1
    while k > 0 and low[k] in {"a", "an", "the", "any", "my", "your"}:
        k -= 1
    return k >= 0 and low[k] == "than" and scene.stream.gap[k + 1] < COMMA


def _others_of(n: int, scene: Scene, stands: Sequence[Stand]) -> Iterator[int]:
    """Denials of a word just taken back: "leather, no, it's not leather, it's suede"."""
    words = term(scene.spans[n], scene.stream)
    for m in _following(n, scene):
        if stands[m].state != "absent" or term(scene.spans[m], scene.stream) != words:
            continue
        if any(stands[j].state == "present" for j in _following(m, scene)):
            yield m
