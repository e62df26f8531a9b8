"""Where a note is found: at the wrapper, the foot, on the cold draw, the palate, and so on.

Before lighting the last part named is carried on; afterwards a note is on the palate unless
its own clause, or the words that lead its sentence, say nose, finish or room.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...model import Section, Source
from .scene import Scene
from .spans import Span
from .stream import COMMA, NONE, STOP

_COLD: tuple[Source, ...] = ("wrapper", "foot", "cold-draw")
_LIT: tuple[Source, ...] = ("retrohale", "finish", "room", "palate")
_REACH = 80
_PLACES = {"on", "in", "through", "out", "up", "at", "by", "from"}
_SAYS = {
    "'s", "is", "was", "has", "had", "smells", "gives", "gave", "tastes", "leans", "says", "gets",
    "goes",
}  # fmt: skip
_SNIFFED = {("in", "it"), ("to", "it"), ("over", "it"), ("on", "it"), ("near", "it")}
_ARTICLES = {"the", "a", "its", "this", "that"}
_JOINS = {"and", "but", "so", "which"}
_STANDS_FOR = {"it", "them", "any", "none", "that"}
_LEADS_IN = {"on", "in", "through", "out", "up", "from", "there", "at"}
_EXISTS = {
    ("'s",),
    ("is",),
    ("was",),
    ("are",),
    ("were",),
    ("'d",),
    ("will",),
    ("had",),
    ("has",),
    ("comes",),
}


def sources(
    scene: Scene, sections: Sequence[Section], accepted: Sequence[int]
) -> tuple[Source, ...]:
    """The source of every span; `sections` holds one entry a line, `accepted` spans are notes."""
    notes = frozenset(i for n in accepted for i in _words(scene.spans[n]))
    scene = replace(scene, at={i: s for i, s in scene.at.items() if i in notes})
    out: list[Source] = []
    cold: Source = "wrapper"
    room_line = -2
    by_line: dict[int, list[Span]] = {}
    for span in scene.spans:
        by_line.setdefault(scene.stream.line[span.first], []).append(span)
    last: Source = "palate"
    for n, section in enumerate(sections):
        first, end = scene.stream.spans[n]
        spans = by_line.get(n, [])
        if section == "pre-light":
            out += [_near(s, _COLD, scene) or cold for s in spans]
            cold = _last(first, end, _COLD, scene) or cold
            continue
        room = _smells(first, end, scene)
        carried = room_line == n - 1 and not room and _carries(first, end, scene)
        stays = last == "retrohale" and _stays(first, end, scene)
        for span in spans:
            source = _near(span, _LIT, scene)
            if room and source in {None, "palate", "finish"}:
                source = "room"
            if source is None:
                source = "room" if carried else "retrohale" if stays else "palate"
            out.append(source)
        if spans:
            last = out[-1]
        if room or carried:
            room_line = n
    return tuple(out)


def _words(span: Span) -> range:
    return range(span.first, span.end)


def _cue(i: int, among: Sequence[Source], scene: Scene) -> Source | None:
    starts = scene.marks.starts[i]
    if not starts:
        return None
    best, reach = None, 0
    for source in among:
        end = starts.get(f"source.{source}", 0)
        if end > reach and not _idle(i, end, source, scene):
            best, reach = source, end
    return best


def _idle(i: int, end: int, source: Source, scene: Scene) -> bool:
    """Words that only look like a source: "couldn't finish it", the cold of "cold ash"."""
    low = scene.stream.low
    if source == "finish":
        verb = low[end : end + 1] in {("it",), ("this",)} and low[i - 1] not in _ARTICLES
        return low[i] == "finish" and (verb or low[i - 1] == "to")
    if source == "retrohale" and low[i:end][-1] == "nose" and low[end : end + 2] in _SNIFFED:
        return True
    return i in scene.at


def _last(first: int, end: int, among: Sequence[Source], scene: Scene) -> Source | None:
    for k in range(end - 1, first - 1, -1):
        found = _cue(k, among, scene)
        if found:
            return found
    return None


def _near(span: Span, among: Sequence[Source], scene: Scene) -> Source | None:
    """The source named for a span: after it in its own clause, else before it in its line."""
    return _after(span, among, scene) or _before(span, among, scene)


def _after(span: Span, among: Sequence[Source], scene: Scene) -> Source | None:
    stream = scene.stream
    end = scene.parts.sentence[span.head][1]
    fragment = False
    for k in range(span.end, min(end, span.end + 12)):
        if stream.gap[k] == STOP or (k in scene.at):
            return None
        cut = stream.line[k] != stream.line[k - 1]
        if cut and (stream.gap[k] > NONE or stream.low[k] not in _LEADS_IN):
            return None
        if k > span.end and scene.parts.clause[k][0] == k:
            fragment = stream.gap[k] == COMMA or _of_it(k, scene)
            if not fragment:
                return None
            if stream.low[k] in {
                "and",
                "it",
                "i",
                "there",
                "what",
                "on",
                "through",
                "in",
                "then",
            } and _leads_on(k, scene):
                return None
        found = _cue(k, among, scene)
        if found:
            return None if _heads_next(k, found, scene) else found
    return None


def _of_it(k: int, scene: Scene) -> bool:
    """Whether the clause at `k` goes on about the note: "I can't find it up there", "but only
    in the nose"."""
    first, end = scene.parts.clause[k]
    if any(j in scene.at for j in range(first, end)):
        return False
    words = scene.stream.low[first:end]
    verb = any(tag in {"VERB", "AUX"} for tag in scene.stream.pos[first:end])
    return bool(_STANDS_FOR & set(words[1:])) or (words[0] == "but" and not verb)


def _heads_next(k: int, found: Source, scene: Scene) -> bool:
    """Whether a source said after a note leads the next clause: "at the foot it's hay"."""
    end = scene.marks.end(k, f"source.{found}")
    while end < len(scene.stream) and scene.stream.low[end] in {"end", "though", "now", "then"}:
        end += 1
    if end >= len(scene.stream) or scene.stream.gap[end] > NONE:
        return False
    led = set(scene.stream.low[max(0, k - 2) : k + 1]) & _PLACES
    if scene.stream.low[end] in _SAYS and not led:
        return True
    if scene.parts.clause[end][0] != end or scene.stream.low[end] in _JOINS:
        return False
    stop = scene.stream.spans[scene.stream.line[end]][1]
    named = any(j in scene.at for j in range(end, min(end + 8, stop)))
    return named or stop - end <= 4


def _leads_on(k: int, scene: Scene) -> bool:
    """Whether the clause that starts at `k` names a note of its own."""
    end = min(scene.parts.clause[k][1] + 8, scene.parts.sentence[k][1])
    return any(j in scene.at for j in range(k, end))


def _before(span: Span, among: Sequence[Source], scene: Scene) -> Source | None:
    stream = scene.stream
    line = stream.spans[stream.line[span.first]][0]
    for k in range(span.first - 1, max(line, span.first - _REACH) - 1, -1):
        found = _cue(k, among, scene)
        if found:
            return found
    if line and (stream.gap[line] == NONE or stream.raw):
        return _dangling(line, among, scene)
    return None


def _dangling(line: int, among: Sequence[Source], scene: Scene) -> Source | None:
    """The source in the words that a line breaks off with: "and then on the nose / eucalyptus".

    Words that already place a note of their own line are not carried on.
    """
    stream = scene.stream
    first, end = scene.parts.clause[line - 1]
    begin = stream.spans[stream.line[line - 1]][0]
    if stream.gap[line] != NONE:
        begin = max(first, begin)
        placed = any(k in scene.at for k in range(begin, min(end, line)))
        if placed or _STANDS_FOR & set(stream.low[begin:line]):
            return None
        begin = max(begin, line - 4)
    for k in range(line - 1, begin - 1, -1):
        found = _cue(k, among, scene)
        if not found:
            continue
        led = {*stream.low[max(0, k - 2) : k + 1]} & _PLACES
        at_end = scene.marks.end(k, f"source.{found}") == line
        return found if stream.gap[line] == NONE or (led and at_end) else None
    return None


def _smells(first: int, end: int, scene: Scene) -> bool:
    """Whether a line speaks of the smell of a place."""
    at = scene.marks.at
    smells = any(at(k, "smells") for k in range(first, end))
    place = any(at(k, "source.place", "source.room") for k in range(first, end))
    nose = any(
        at(k, "source.retrohale", "source.wrapper", "source.foot", "source.cold-draw")
        for k in range(first, end)
    )
    return smells and (place or not nose)


def _carries(first: int, end: int, scene: Scene) -> bool:
    """Whether a line goes on about the room: "I'd say it was more like toast"."""
    if first >= end or _last(first, end, _LIT, scene):
        return False
    opening = scene.stream.low[first : first + 9]
    return "more" in opening and bool({"it", "i"} & set(opening[:2]))


def _stays(first: int, end: int, scene: Scene) -> bool:
    """Whether a line goes on about the nose: "Not bacon, this is ham", "pepper there also"."""
    low = scene.stream.low
    if low[first : first + 1] == ("not",):
        return True
    return any(
        low[k] == "there" and low[k - 1] != "and" and low[k + 1 : k + 2] not in _EXISTS
        for k in range(first + 1, end)
    )
