"""The words that carry a note: the shortest clause around it, as literally said."""

from __future__ import annotations

from ..lines import Line
from .scene import Scene
from .spans import Span
from .stream import NONE

_LEAST, _MOST = 3, 14


def quote(span: Span, line: Line, scene: Scene) -> str:
    """A literal part of the line: the clause of the note, made longer where it says too little."""
    stream = scene.stream
    begin, stop = stream.spans[stream.line[span.first]]
    first = max(begin, scene.parts.clause[span.first][0])
    end = min(stop, scene.parts.clause[span.head][1])
    while end - first < _LEAST and first > begin:
        first = max(begin, scene.parts.clause[first - 1][0])
    while end - first < _LEAST and end < stop:
        end = min(stop, scene.parts.clause[end][1])
    while end - first > _MOST and first < span.first - 4 and stream.gap[first + 1] == NONE:
        first += 1
    while end - first > _MOST and end > span.end + 4:
        end -= 1
    return line.span(stream.token[first], stream.token[end - 1] + 1)
