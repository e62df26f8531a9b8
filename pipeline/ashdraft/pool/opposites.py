"""Contradictions between sticks: `tight` in one, `open` in another; a note there and not there.

Which remarks are opposites stands in models/ashdraft_models/pool/opposites.toml. Sticks of one
cigar may differ, so a contradiction is nobody's mistake; it is something to write about.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import ashdraft_models

from ..errors import DataDamaged
from ..model import SECTIONS, Section, Utterance
from ..sheet.topics import Topic, loosened, mentioned
from .kinds import is_a
from .sticks import Stick
from .taste import BEFORE, Place, Spot, Taste

PATH = ashdraft_models.ROOT / "pool" / "opposites.toml"
THERE, NOT_THERE = "there", "said not to be there"
_SENTENCE = re.compile(r"[.;!?]+\s+|\s+but\s+")
_PAIR_KEYS = frozenset({"id", "about", "sections", "subject", "thirds", "sides"})


@dataclass(frozen=True, slots=True)
class Remark:
    """What one stick's notes say at one moment; `place` is a third, None for the whole."""

    stick: int
    place: Place
    utterance: int
    start: float
    quote: str


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two sides, each with its name and the remarks on it; every stick is on one side only."""

    id: str
    about: str
    sides: tuple[tuple[str, tuple[Remark, ...]], tuple[str, tuple[Remark, ...]]]


@dataclass(frozen=True, slots=True)
class Opposites:
    """One pair of the file. `either` finds the words of both sides, the longest first."""

    id: str
    about: str
    sections: tuple[Section, ...]
    subject: re.Pattern[str] | None
    thirds: bool
    sides: tuple[Topic, Topic]
    either: re.Pattern[str]


def contradictions(sticks: Sequence[Stick], taste: Taste) -> tuple[Contradiction, ...]:
    """Return the contradictions between sticks of one size: by the file, then by notes."""
    return (*_by_words(sticks), *_by_notes(sticks, taste))


def _by_words(sticks: Sequence[Stick]) -> Iterator[Contradiction]:
    for pair in opposites():
        one, other = (
            tuple(r for stick in sticks for r in _remarks(stick, pair, side)) for side in (0, 1)
        )
        one, other = _apart(one, other)
        if one and other:
            names = (pair.sides[0].name, pair.sides[1].name)
            yield Contradiction(pair.id, pair.about, ((names[0], one), (names[1], other)))


def _by_notes(sticks: Sequence[Stick], taste: Taste) -> Iterator[Contradiction]:
    for gone in taste.denied:
        kinds = [n for n in taste.notes if n.family == gone.family]
        spots = [s for n in kinds for s in n.spots if is_a(s.term, gone.term)]
        one, other = _apart(_told(spots, sticks), _told(gone.spots, sticks))
        if one and other:
            sides = ((THERE, one), (NOT_THERE, other))
            yield Contradiction(f"note:{gone.term}", gone.term, sides)


def _told(spots: Sequence[Spot], sticks: Sequence[Stick]) -> tuple[Remark, ...]:
    """Return the whole sentences that name a note, as a part of one can lack its denial."""
    texts = {(s.number, u.id): u.text for s in sticks for u in s.reading.utterances}
    remarks = [
        Remark(s.stick, s.place, s.utterance, s.start, texts[s.stick, s.utterance]) for s in spots
    ]
    return tuple({(r.stick, r.utterance, r.place): r for r in remarks}.values())


def _apart(
    one: Sequence[Remark], other: Sequence[Remark]
) -> tuple[tuple[Remark, ...], tuple[Remark, ...]]:
    """Leave the remarks that contradict one of another stick at the same place.

    A stick of which both were said at one place contradicts itself and no other one.
    """

    def meets(a: Remark, b: Remark) -> bool:
        either_whole = None in (a.place, b.place) and BEFORE not in (a.place, b.place)
        return a.place == b.place or either_whole

    def alone(side: Sequence[Remark], against: Sequence[Remark]) -> list[Remark]:
        return [a for a in side if not any(b.stick == a.stick and meets(a, b) for b in against)]

    ones, others = alone(one, other), alone(other, one)
    return (
        tuple(a for a in ones if any(meets(a, b) for b in others)),
        tuple(b for b in others if any(meets(a, b) for a in ones)),
    )


def _remarks(stick: Stick, pair: Opposites, side: int) -> Iterator[Remark]:
    for utterance in stick.reading.utterances:
        if utterance.section in pair.sections and _says(utterance, pair, side):
            third = utterance.third if pair.thirds else None
            yield Remark(stick.number, third, utterance.id, utterance.start, utterance.text)


def _says(utterance: Utterance, pair: Opposites, side: int) -> bool:
    """True where the subject and a word of the side, not denied, were said of one thing."""
    topic, other = pair.sides[side], pair.sides[1 - side]
    for text in _parts(utterance.said, pair):
        if pair.subject and not pair.subject.search(text):
            continue
        own = pair.either.sub(lambda m: "-" if other.words.fullmatch(m[0]) else m[0], text)
        if mentioned(topic, replace(utterance, said=own)) == "said":
            return True
    return False


def _parts(said: str, pair: Opposites) -> Iterator[str]:
    """The parts of what was said that speak of one thing each, and of this stick."""
    others = [p.subject for p in opposites() if p.subject and set(p.sections) & set(pair.sections)]
    for sentence in _SENTENCE.split(said):
        if _elsewhere().search(loosened(sentence)):
            continue
        parts: list[str] = []
        for clause in loosened(sentence).split(","):
            if parts and not any(subject.search(clause) for subject in others):
                parts[-1] += f",{clause}"
            else:
                parts.append(clause)
        yield from parts


@cache
def opposites() -> tuple[Opposites, ...]:
    """Return the pairs of the file. Raises `DataDamaged`, which names the pair that is wrong."""
    pairs = _raw().get("pair", [])
    found = tuple(_pair(entry) for entry in pairs)
    if len({pair.id for pair in found}) < len(found):
        raise DataDamaged(f"{PATH.name}: a pair stands twice.", "Mend the file.")
    return found


@cache
def _elsewhere() -> re.Pattern[str]:
    return _pattern(_words(_raw().get("elsewhere"), "elsewhere"))


@cache
def _raw() -> dict[str, Any]:
    try:
        return tomllib.loads(PATH.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error


def _pair(entry: dict[str, Any]) -> Opposites:
    name = entry.get("id")
    if not isinstance(name, str) or not isinstance(entry.get("about"), str):
        raise DataDamaged(f"{PATH.name}: id and about must be text.", "Mend the file.")
    wrong = f"the pair {name!r}"
    if unknown := sorted(entry.keys() - _PAIR_KEYS):
        raise DataDamaged(f"{PATH.name}: {wrong}: there is no key {unknown[0]!r}.", "Mend it.")
    told = _words(entry.get("sections"), f"{wrong}: sections")
    sections = tuple(s for s in SECTIONS if s in told)
    sides = entry.get("sides")
    if len(sections) < len(told) or not isinstance(sides, list) or len(sides) != 2:
        raise DataDamaged(f"{PATH.name}: {wrong}: needs sections and two sides.", "Mend it.")
    words = [_words(side.get("words"), f"{wrong}: words") for side in sides]
    if common := set(words[0]) & set(words[1]):
        raise DataDamaged(f"{PATH.name}: {wrong}: {min(common)!r} is on both sides.", "Mend it.")
    one, other = (
        Topic(name, str(side["name"]), sections, (), _pattern(own), thirds=False, absent=True)
        for side, own in zip(sides, words, strict=True)
    )
    subject = entry.get("subject")
    return Opposites(
        name,
        entry["about"],
        sections,
        _pattern(_words(subject, f"{wrong}: subject")) if subject is not None else None,
        entry.get("thirds") is True,
        (one, other),
        _pattern([*words[0], *words[1]]),
    )


def _words(value: object, what: str) -> list[str]:
    if not isinstance(value, list) or not value or not all(isinstance(v, str) for v in value):
        raise DataDamaged(f"{PATH.name}: {what} must be a list of words.", "Mend the file.")
    return value


def _pattern(words: Sequence[str]) -> re.Pattern[str]:
    longest = sorted(map(loosened, words), key=lambda w: (-len(w), w))
    return re.compile(rf"(?<!\w)(?:{'|'.join(re.escape(w) for w in longest)})(?!\w)")
