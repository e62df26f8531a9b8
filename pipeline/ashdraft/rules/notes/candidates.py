"""From lines to candidates: every stretch of words that may name a note, with all the rules say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ..lines import Line
from .clauses import clauses
from .features import features
from .phrases import Marks
from .polarity import stand
from .repair import withdrawn
from .scene import Scene, Stand
from .spans import Span, spans
from .speech import label
from .stream import COMMA, NONE, build

_NEAR = 25
_SELDOM = {("green",), ("raw",), ("burnt",), ("sharp",)}  # notes only as bare adjectives
_ONES = {("one",), ("ones",), ("sort",), ("kind",), ("type",), ("stuff",), ("side",)}
_MEALS = {"breakfast", "lunch", "dinner", "supper", "brunch", "pudding", "dessert"}
_FOREIGN = {"report", "other", "suppose"}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A stretch of words of one line (`line` is its index) that may name a note.

    `term` is the literal text in lower case. `barred` tells that the rules forbid it: taken
    back, looked for in vain hope, somebody else's finding, another cigar, a supposition.
    `features` are what the judge weighs.
    """

    index: int
    span: Span
    line: int
    term: str
    stand: Stand
    barred: bool
    features: tuple[str, ...]


def scene_of(lines: Sequence[Line]) -> Scene:
    """All that the rules need to know of some lines, prepared once."""
    stream = build(lines)
    marks = Marks(stream)
    parts = clauses(stream)
    found = spans(lines, stream, marks)
    line_cues = tuple(
        frozenset(cue for k in range(*words) for cue in marks.starts[k]) for words in stream.spans
    )
    return Scene(
        stream, marks, parts, label(stream, marks, parts), found,
        {i: span for span in found for i in range(span.first, span.end)},
        line_cues,
    )  # fmt: skip


def candidates(lines: Sequence[Line], scene: Scene) -> tuple[Candidate, ...]:
    """Every candidate in order."""
    stream = scene.stream
    stands = [stand(span, scene) for span in scene.spans]
    taken_back = withdrawn(scene, stands)
    seen = Counter(
        word for word, _ in {(stream.low[s.head], stream.line[s.head]) for s in scene.spans}
    )
    for span in scene.spans:
        if span.family and span.end - span.first > 1:
            seen[f"term {stream.low[span.head]}"] += 1
    out = []
    for n, span in enumerate(scene.spans):
        at = stream.line[span.first]
        text = lines[at].span(stream.token[span.first], stream.token[span.head] + 1)
        barred = n in taken_back or stands[n].state == "open" or _foreign(span, stands[n], scene)
        out.append(
            Candidate(
                n,
                span,
                at,
                text.lower(),
                stands[n],
                barred,
                tuple(features(n, scene, stands[n], seen)),
            )
        )
    return tuple(out)


def _foreign(span: Span, stance: Stand, scene: Scene) -> bool:
    """Whether it is not the speaker's own; they may answer a report: "no", "it's there"."""
    if "felt" in scene.labels[span.head] and stance.state == "present":
        return not _of_taste(scene.parts.sentence[span.head], span, scene)
    if _simile_of_degree(span, scene) or _texture(span, stance, scene) or _eaten(span, scene):
        return True
    if _attribute(span, scene) or _ash(span, scene) or _whole(span, scene):
        return True
    if _smelling(span, scene):
        return True
    labels = scene.labels[span.head] & _FOREIGN
    if not labels:
        return False
    if not 0 <= stance.at < len(scene.labels):
        return True
    return bool(scene.labels[stance.at] & labels)


def _simile_of_degree(span: Span, scene: Scene) -> bool:
    """ "Thick as porridge", "as sweet as honey": a measure of something else."""
    stream, k = scene.stream, span.first - 1
    while k > 0 and stream.pos[k] == "DET" and stream.gap[k + 1] == NONE:
        k -= 1
    return k > 0 and stream.low[k] == "as" and stream.pos[k - 1] == "ADJ" and not stream.gap[k]


def _eaten(span: Span, scene: Scene) -> bool:
    """ "Bacon for breakfast", "lemon with my fish at lunch": a meal and no note."""
    near = range(span.end, min(span.end + 5, scene.parts.clause[span.head][1]))
    return any(
        scene.stream.low[k - 1] in {"for", "at"} and scene.stream.low[k] in _MEALS for k in near
    )


def _texture(span: Span, stance: Stand, scene: Scene) -> bool:
    """ "Creamy", "like condensed milk" in a clause on the feel of the smoke."""
    if "texture" not in scene.labels[span.head] or stance.state != "present":
        return False
    stream, k = scene.stream, span.first - 1
    first = scene.parts.clause[span.head][0]
    if _of_taste(scene.parts.clause[span.head], span, scene):
        return False
    while k > first and stream.pos[k] in {"DET", "ADJ"}:
        k -= 1
    adjective = stream.pos[span.head] == "ADJ" or stream.low[span.head].endswith("y")
    return adjective or (k >= first and stream.low[k] in {"like", "as"})


def _of_taste(words: tuple[int, int], span: Span, scene: Scene) -> bool:
    """Whether a stretch around the note says that it is about the taste after all."""
    first, end = max(words[0], span.first - _NEAR), min(words[1], span.end + _NEAR)
    return any("texture.not" in scene.marks.starts[k] for k in range(first, end))


def _attribute(span: Span, scene: Scene) -> bool:
    """ "The bitter sort", "a smoky one": an adjective that only describes another note."""
    stream = scene.stream
    if stream.low[span.first : span.end] in _SELDOM and stream.pos[span.head] != "ADJ":
        return True
    adjective = stream.pos[span.head] == "ADJ" or span.family == "taste-basics"
    return adjective and stream.low[span.end : span.end + 1] in _ONES


def _ash(span: Span, scene: Scene) -> bool:
    """Bare "ash" is the ash of the cigar, unless its line speaks of taste."""
    if scene.stream.low[span.first : span.end] not in {("ash",), ("ashes",)}:
        return False
    cues = scene.line_cues[scene.stream.line[span.head]]
    return not cues & {"topic.taste", "frame.like", "smells", "source.foot", "source.wrapper"}


def _smelling(span: Span, scene: Scene) -> bool:
    """ "The garage smelled like a campfire": what smells of something is the place."""
    stream, k = scene.stream, span.end
    while k < len(stream) and stream.pos[k] in {"ADV", "AUX"} and stream.gap[k] <= COMMA:
        k += 1
    return scene.marks.at(span.head, "source.place") and scene.marks.at(k, "smells")


def _whole(span: Span, scene: Scene) -> bool:
    """ "The skin of the walnut": the part is the note, the whole is not."""
    stream, k = scene.stream, span.first - 1
    while k > 1 and stream.pos[k] == "DET":
        k -= 1
    return k > 0 and stream.low[k] == "of" and scene.marks.at(k - 1, "part.bare")
