"""What speaks for and against a stretch of words being a tasting note, as named features.

The names are the keys of the weights in models/ashdraft_models/reading/notes.json, so that a
decision can be read: family or kind of thing, the words beside it, the frame it stands in, what
else its line speaks of, whether it comes up again.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from . import nouns
from .scene import Scene, Stand
from .spans import Span
from .stream import COMMA, NONE, STOP, Stream

_FRAMES = (
    "frame.get", "frame.be", "frame.come", "frame.like", "strong", "faint", "deny", "simile",
    "say", "sought", "sought.yes", "repair.strong", "back", "smells", "source.wrapper",
    "source.foot", "source.cold-draw", "source.retrohale", "source.finish", "source.room",
    "source.palate", "source.place", "topic.burn", "topic.body", "topic.taste", "colour",
)  # fmt: skip
_LINE_CUES = (
    "texture", "texture.not", "colour", "beside", "topic.burn", "topic.body", "topic.taste",
    "smells", "other", "suppose", "report", "say", "frame.like", "recall",
)  # fmt: skip
_CLOSED = {"DET", "ADP", "AUX", "PRON", "CCONJ", "SCONJ", "PART", "INTJ"}
_STEPS_OVER = {"DET", "ADJ"}
_NEAR, _FAR = 7, 20


def features(n: int, scene: Scene, stand: Stand, seen: Counter[str]) -> list[str]:
    """The features of span `n` that need no section."""
    span, stream = scene.spans[n], scene.stream
    known = "K" if span.family else "U"
    found = ["bias", known, *_name(span, stream, known)]
    found += _beside(span, scene, known)
    found += _frame(span, scene, known)
    found += _line(span, scene, known)
    found += [f"label:{name}" for name in scene.labels[span.head]]
    told = "after" if stand.at >= span.end else "before" if stand.at >= 0 else "none"
    found += [f"stand:{stand.state}", f"stand:{stand.state}&{known}", f"told:{told}&{known}"]
    found += _company(n, scene, known)
    found += _slot(n, scene, known)
    times = min(seen[stream.low[span.head]], 3)
    found += [f"seen:{times}&{known}"]
    if not span.family and seen[f"term {stream.low[span.head]}"]:
        found.append("echo")
    return found


def placed(base: Sequence[str], section: str, before: str, after: str, told: bool) -> list[str]:
    """The features of where the line belongs, beside those of `features` (`base`).

    `section` with the sections of the lines around it ("#" where there is none); `told` where
    the line describes a third.
    """
    known = base[1]
    group = "tasting" if section in ("pre-light", "palate") else "other"
    return [
        f"section:{section}", f"section:{section}&{known}", f"section:{section}&third:{told}",
        f"before:{before}", f"after:{after}",
        *(f"{n}&in:{group}" for n in base if n.startswith("slot:") and n.count("&") == 2),
    ]  # fmt: skip


def _name(span: Span, stream: Stream, known: str) -> list[str]:
    head = stream.low[span.head]
    kind = nouns.kind(head)
    out = [
        f"family:{span.family or 'none'}",
        f"length:{min(span.end - span.first, 3)}&{known}",
        f"tag:{stream.pos[span.head]}&{known}",
    ]
    out += [f"kind:{letter}&{known}" for letter in kind[:2]] or [f"kind:none&{known}"]
    if not span.family and kind:
        out.append(f"first:{kind[0]}")
    if span.core > span.first:
        out.append(f"modified&{known}")
    if stream.capital[span.first] and stream.gap[span.first] != STOP:
        out.append("capital")
    if (
        span.family
        and span.end - span.first == 1
        and nouns.kind(head)[:1] not in {"f", "p", "s", ""}
    ):
        out.append("everyday")
    return out


def _word(i: int, stream: Stream) -> str:
    if not 0 <= i < len(stream):
        return "#"
    return stream.low[i] if stream.pos[i] in _CLOSED else stream.pos[i]


def _gap(i: int, beside: int, scene: Scene) -> int:
    """The break before word `i`; where commas are not written, terms side by side are a list."""
    if i >= len(scene.stream):
        return STOP
    other = scene.at.get(beside)
    listed = scene.stream.raw and other is not None and other.family
    return max(scene.stream.gap[i], COMMA) if listed else scene.stream.gap[i]


def _neighbour(i: int, scene: Scene) -> str:
    """The word beside a note, or that another term of the lexicon stands there."""
    other = scene.at.get(i)
    return "term" if other and other.family else _word(i, scene.stream)


def _beside(span: Span, scene: Scene, known: str) -> list[str]:
    stream = scene.stream
    before, after = span.first - 1, span.end
    gap_before = _gap(span.first, before, scene)
    gap_after = _gap(after, after, scene)
    left = "|" if gap_before == STOP else _neighbour(before, scene)
    right = "|" if gap_after == STOP else _neighbour(after, scene)
    out = [f"left:{left}", f"left:{left}&{known}", f"right:{right}", f"right:{right}&{known}"]
    out += [f"gaps:{gap_before}{gap_after}", f"gaps:{gap_before}{gap_after}&{known}"]
    if gap_before == NONE:
        farther = "|" if before < 0 or stream.gap[before] == STOP else _word(before - 1, stream)
        out += [f"left2:{farther}", f"left:{farther}_{left}"]
    return out


def _frame(span: Span, scene: Scene, known: str) -> list[str]:
    """Cues in the clause on either side, and the one that leads right up to the note."""
    stream, marks = scene.stream, scene.marks
    first, _ = scene.parts.clause[span.first]
    _, end = scene.parts.clause[span.head]
    out: list[str] = []
    left = range(max(first, span.first - _NEAR), span.first)
    right = range(span.end, min(end, span.end + _NEAR))
    for side, words in (("L", left), ("R", right)):
        for cue in _FRAMES:
            if any(cue in marks.starts[k] for k in words):
                out += [f"{side}:{cue}", f"{side}:{cue}&{known}"]
    k = span.first - 1
    while k > 0 and stream.gap[k + 1] == NONE and stream.pos[k] in _STEPS_OVER:
        k -= 1
    if k >= 0 and stream.gap[k + 1] == NONE:
        for cue in _FRAMES:
            if marks.at(k, cue):
                out += [f"leads:{cue}", f"leads:{cue}&{known}"]
    if stream.gap_after(span.head) == NONE:
        for cue in ("frame.come", "back", "gone", "stays", "frame.be", "none", "tag"):
            if marks.at(span.end, cue):
                out += [f"then:{cue}", f"then:{cue}&{known}"]
    return out


def _line(span: Span, scene: Scene, known: str) -> list[str]:
    stream, line = scene.stream, scene.stream.line[span.first]
    first, end = stream.spans[line]
    out = [f"line:{cue}&{known}" for cue in _LINE_CUES if cue in scene.line_cues[line]]
    words = end - first
    out.append(f"words:{'few' if words < 5 else 'some' if words < 12 else 'many'}&{known}")
    begin = max(first, scene.parts.clause[span.first][0], span.first - _FAR)
    stop = min(end, scene.parts.clause[span.head][1], span.end + _FAR)
    rest = [k for k in range(begin, stop) if not span.first <= k < span.end]
    if not any(stream.pos[k] in {"VERB", "AUX"} for k in rest):
        out.append(f"verbless&{known}")
    if all(stream.pos[k] in {"DET", "ADJ", "ADV", "CCONJ", "INTJ"} for k in rest):
        out.append(f"bare&{known}")
    return out


def _company(n: int, scene: Scene, known: str) -> list[str]:
    """Whether the note stands in a list with words of the lexicon."""
    span, stream = scene.spans[n], scene.stream
    out = []
    for m, edge in ((n - 1, "prior"), (n + 1, "next")):
        if not 0 <= m < len(scene.spans):
            continue
        other = scene.spans[m]
        lo, hi = (other.end, span.first) if m < n else (span.end, other.first)
        if stream.line[other.first] != stream.line[span.first] or hi - lo > 3:
            continue
        joint = [stream.low[k] for k in range(lo, hi)]
        listed = stream.gap[hi] == COMMA or "and" in joint or "or" in joint or not joint
        if listed and all(stream.pos[k] in _CLOSED | {"ADJ", "ADV"} for k in range(lo, hi)):
            out.append(f"list:{edge}:{'K' if other.family else 'U'}&{known}")
    return out


_SENSE = ("frame.get",)
_SENSES = {
    "taste", "tastes", "tasted", "tasting", "smell", "smells", "smelled", "smelling", "smelt",
    "reeks", "something", "reminds", "remind", "reminded", "bit", "kind", "sort", "more",
    "almost",
}  # fmt: skip
_BE = {"'s", "is", "was", "are", "were", "be", "been", "becomes", "became", "being"}
_PREPOSITIONS = {
    "in", "on", "at", "from", "with", "by", "off", "under", "over", "into", "through", "for",
    "after", "before", "behind", "beside", "to", "about", "out", "between", "without", "than",
    "as",
}  # fmt: skip
_EXPLAINS = {"when", "if", "where", "while", "because", "as", "that", "which", "who", "whose"}


def _slot(n: int, scene: Scene, known: str) -> list[str]:
    """The coarse place of the note in its clause: what governs it, with which article."""
    span, stream, marks = scene.spans[n], scene.stream, scene.marks
    k, article = span.first - 1, "bare"
    while k >= 0 and stream.gap[k + 1] == NONE and stream.pos[k] in {"DET", "ADJ", "ADV"}:
        if stream.pos[k] == "DET":
            article = (
                stream.low[k] if stream.low[k] in {"a", "an", "the", "some", "no", "any"} else "det"
            )
        k -= 1
    if k < 0 or stream.gap[k + 1] > NONE:
        rest = range(span.end, min(scene.parts.clause[span.head][1], span.end + _FAR))
        verb = any(stream.pos[j] in {"VERB", "AUX"} for j in rest)
        ruler = "subject" if verb else "alone"
    elif stream.low[k] == "of":
        ruler = "measure" if marks.at(k - 1, "strong", "faint", "pass", "frame.like") else "of"
    elif marks.at(k, "frame.like"):
        before = stream.low[k - 1] if k and stream.gap[k] == NONE else "|"
        ruler = "sense-like" if before in _SENSES else "be-like" if before in _BE else "like"
    elif stream.low[k] in _BE:
        ruler = "be"
    elif marks.at(k, *_SENSE):
        ruler = "sense"
    elif stream.low[k] in _PREPOSITIONS:
        ruler = "preposition"
    elif marks.at(k, "frame.come", "strong", "faint"):
        ruler = "come"
    elif stream.low[k] in {"and", "or"}:
        ruler = "and"
    else:
        ruler = stream.pos[k]
    line = scene.stream.spans[stream.line[span.first]][0]
    begin = max(line, scene.parts.sentence[span.first][0])
    earlier = [s for s in scene.spans[max(0, n - 6) : n] if s.first >= begin and s.family]
    out = [f"slot:{ruler}&{article}", f"slot:{ruler}&{known}", f"slot:{ruler}&{article}&{known}"]
    out.append(f"slot:{ruler}&{'later' if earlier else 'first'}&{known}")
    if earlier:
        between = range(earlier[-1].end, span.first)
        if any(marks.starts[j].get("simile") or stream.low[j] in _EXPLAINS for j in between):
            out += ["explains", f"explains&{known}"]
    return out
