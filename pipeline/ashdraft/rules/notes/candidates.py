"""From lines to candidates: every stretch of words that may name a note, with all the rules say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ..lines import Line
from .clauses import clauses
from .features import features
from .phrases import Marks
from .polarity import Scene, Stand, stand
from .repair import withdrawn
from .spans import Span, spans
from .speech import label
from .stream import build

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
    return Scene(
        stream, marks, parts, label(stream, marks, parts), found,
        {i: span for span in found for i in range(span.first, span.end)},
    )  # fmt: skip


def candidates(lines: Sequence[Line], scene: Scene) -> tuple[Candidate, ...]:
    """Every candidate in order."""
    stream = scene.stream
    stands = [stand(span, scene) for span in scene.spans]
    taken_back = withdrawn(scene, stands)
    seen = Counter(
        word for word, _ in {(stream.low[s.head], stream.line[s.head]) for s in scene.spans}
    )
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
    """Whether it is not the speaker's own; a denial of one's own may answer a report."""
    labels = scene.labels[span.head] & _FOREIGN
    if not labels:
        return False
    own_denial = stance.state == "absent" and 0 <= stance.at < len(scene.labels)
    return not own_denial or bool(scene.labels[stance.at] & labels)
