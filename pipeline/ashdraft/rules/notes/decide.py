"""The two public steps of the room: `find` before lines have a place, `settle` after."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ...model import Descriptor, Intensity, Polarity, Source
from ..lines import Line
from ..place.model import Placed
from .candidates import Candidate, candidates, scene_of
from .family import family
from .features import placed as placed_features
from .intensity import intensities
from .judge import probability, weights
from .polarity import Scene
from .quote import quote
from .source import sources

ACCEPT = 0.5


@dataclass(frozen=True, slots=True)
class Found:
    """Words that may name a note, judged without knowing the line's section."""

    term: str
    polarity: Polarity
    probability: float


def find(lines: Sequence[Line]) -> tuple[tuple[Found, ...], ...]:
    """For each line the words that may name a note of the speaker's own."""
    scene = scene_of(lines)
    model = weights("alone")
    out: list[list[Found]] = [[] for _ in lines]
    for c in candidates(lines, scene):
        if not c.barred:
            out[c.line].append(Found(c.term, _polarity(c), probability(c.features, model)))
    return tuple(tuple(found) for found in out)


def settle(lines: Sequence[Line], placed: Sequence[Placed]) -> tuple[Descriptor, ...]:
    """The tasting notes of a recording, in the order spoken; one a term, line and polarity."""
    scene = scene_of(lines)
    model = weights("placed")
    kept: list[Candidate] = []
    for c in candidates(lines, scene):
        if not c.barred and probability(_with_place(c, placed), model) >= ACCEPT:
            kept.append(c)
    kept = _without_restatements(kept, scene)
    strengths = intensities(scene, [c.index for c in kept])
    where = sources(scene, [p.section for p in placed])
    return tuple(_merged(kept, lines, placed, scene, strengths, where))


def _with_place(c: Candidate, placed: Sequence[Placed]) -> list[str]:
    here = placed[c.line]
    before = placed[c.line - 1].section if c.line else "#"
    after = placed[c.line + 1].section if c.line + 1 < len(placed) else "#"
    return [
        *c.features,
        *placed_features(c.features, here.section, before, after, here.third is not None),
    ]


def _polarity(c: Candidate) -> Polarity:
    return "absent" if c.stand.state == "absent" else "present"


def _without_restatements(kept: Sequence[Candidate], scene: Scene) -> list[Candidate]:
    """Without a denial that only the missing comma of a raw line makes: "no syrup, yes syrup"."""
    if not scene.stream.raw:
        return list(kept)
    asserted = {(c.line, c.term): c.index for c in kept if c.stand.state == "present"}
    return [
        c for c in kept
        if c.stand.state == "present" or asserted.get((c.line, c.term), -1) < c.index
    ]  # fmt: skip


def _merged(
    kept: Iterable[Candidate],
    lines: Sequence[Line],
    placed: Sequence[Placed],
    scene: Scene,
    strengths: Mapping[int, Intensity],
    where: Sequence[Source],
) -> Iterable[Descriptor]:
    """One descriptor for all mentions of a term in a line that say the same of it."""
    groups: dict[tuple[int, str, Polarity], list[Candidate]] = {}
    for c in kept:
        groups.setdefault((c.line, c.term, _polarity(c)), []).append(c)
    for (at, term, polarity), mentions in groups.items():
        first = mentions[0]
        strength: Intensity = "plain"
        if polarity == "present":
            said = [strengths[c.index] for c in mentions if c.index in strengths]
            hardly = any(c.stand.faint for c in mentions)
            strength = said[-1] if said else "faint" if hardly else "plain"
        yield Descriptor(
            term=term,
            family=family(first.span, scene.stream),
            polarity=polarity,
            source=next(
                (where[c.index] for c in mentions if where[c.index] != "palate"), where[first.index]
            ),
            intensity=strength,
            section=placed[at].section,
            third=placed[at].third,
            utterance=lines[at].id,
            start=lines[at].start,
            quote=quote(first.span, lines[at], scene),
        )
