"""Notes said twice in one breath, once more exactly: "earth, dry earth", "turf, wet turf"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from . import nouns
from .candidates import Candidate
from .scene import Scene

_REACH = 12
_PARTS = {"and", "then", "with", "plus", "but", "or", "while", "over", "under", "behind"}
_SAYS = {
    "'s", "is", "was", "it", "that", "mean", "say", "call", "guess", "think", "i", "would",
    "actual", "back", "again", "here", "there", "now", "are", "were", "be",
}  # fmt: skip


def restated(kept: Sequence[Candidate], scene: Scene) -> Mapping[int, int]:
    """From the index of a mention that says less to that of the one which says it exactly."""
    same: dict[int, int] = {}
    for n, first in enumerate(kept):
        for second in kept[n + 1 : n + 4]:
            if first.line != second.line or not _one_thing(first, second, scene):
                continue
            less, more = sorted((first, second), key=lambda c: c.span.end - c.span.first)
            same[less.index] = more.index
    return {less: same.get(more, more) for less, more in same.items()}


def _one_thing(first: Candidate, second: Candidate, scene: Scene) -> bool:
    a, b = first.span, second.span
    if a.end - a.first == b.end - b.first or not 0 <= b.first - a.end <= _REACH:
        return False
    if {first.stand.state, second.stand.state} != {"present"}:
        return False
    low, pos = scene.stream.low, scene.stream.pos
    heads = (set(nouns.singulars(low[span.head])) for span in (a, b))
    if not set.intersection(*heads):
        return False
    between = range(a.end, b.first)
    if _own_verb(b.end, b.first, scene):
        return False
    for k in between:
        if low[k] in _PARTS and low[k + 1] not in {"it", "i", "that"}:
            return False
        if pos[k] in {"VERB", "AUX"} and low[k] not in _SAYS:
            return False
    return True


def _own_verb(end: int, first: int, scene: Scene) -> bool:
    """Whether the second mention is the subject of its own clause: "..., the pepper had sunk"."""
    stream = scene.stream
    following = stream.pos[end : end + 1] in {("AUX",), ("VERB",)} and not stream.gap[end]
    return following and stream.low[first - 1] in {"the", "that", "this"}
