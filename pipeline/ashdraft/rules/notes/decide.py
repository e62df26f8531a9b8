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
from .quote import quote
from .restate import restated
from .scene import Scene
from .source import sources

ACCEPT = 0.5
SURE = 0.7  # confidence from which a section without notes forbids them
_NO_NOTES = {"setup", "appearance", "presentation", "pairing", "aside"}


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
        if (
            not c.barred
            and not _elsewhere(placed[c.line])
            and probability(_with_place(c, placed), model) >= ACCEPT
        ):
            kept.append(c)
    kept = _undoubled(kept, scene)
    strengths = intensities(scene, [c.index for c in kept])
    where = sources(scene, [p.section for p in placed], [c.index for c in kept])
    terms = _terms(kept, restated(kept, scene))
    return tuple(_merged(kept, terms, lines, placed, scene, strengths, where))


def _elsewhere(here: Placed) -> bool:
    """Whether a line surely belongs where no tasting notes are given."""
    return here.section in _NO_NOTES and here.confidence >= SURE


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


def _terms(kept: Iterable[Candidate], same: Mapping[int, int]) -> dict[int, Candidate]:
    """For each mention the one whose words name the note."""
    by_index = {c.index: c for c in kept}
    return {n: by_index[same.get(n, n)] for n in by_index}


def _undoubled(kept: Sequence[Candidate], scene: Scene) -> list[Candidate]:
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
    terms: Mapping[int, Candidate],
    lines: Sequence[Line],
    placed: Sequence[Placed],
    scene: Scene,
    strengths: Mapping[int, Intensity],
    where: Sequence[Source],
) -> Iterable[Descriptor]:
    """One descriptor for all mentions of a term in a line that say the same of it."""
    groups: dict[tuple[int, str, Polarity], list[Candidate]] = {}
    for c in kept:
        groups.setdefault((c.line, terms[c.index].term, _polarity(c)), []).append(c)
    for (at, term, polarity), mentions in groups.items():
        first = terms[mentions[0].index]
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
