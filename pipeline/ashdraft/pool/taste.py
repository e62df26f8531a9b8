"""Tasting notes of several sticks: in how many of them, and in which thirds, each was named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..model import Descriptor, Reading
from ..sheet.notes import IN_THE_SMOKE
from .kinds import is_a, widest
from .sticks import Stick

BEFORE, ROOM = "before lighting", "room"
Place = int | str | None
"""A third, `BEFORE`, `ROOM`, or None: in the smoke, of no one third."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One time that a stick's notes name it. Seconds on that stick's own timeline."""

    stick: int
    place: Place
    utterance: int
    start: float
    term: str
    quote: str


@dataclass(frozen=True, slots=True)
class Shared:
    """A note and the sticks that have it; `of` is how many sticks there are.

    `terms` are the wordings counted as this note: `oak` counts `oaky`, and `pepper` counts
    `black pepper` where both were named. Sticks are numbers, in order.
    """

    term: str
    family: str
    terms: tuple[str, ...]
    spots: tuple[Spot, ...]
    of: int

    @property
    def sticks(self) -> tuple[int, ...]:
        return _sticks(self.spots)

    @property
    def in_most(self) -> bool:
        """In more than half of the sticks, and in two at least."""
        return len(self.sticks) > max(1, self.of / 2)

    @property
    def one_off(self) -> bool:
        """In one stick of several."""
        return self.of > 1 and len(self.sticks) == 1

    def denies(self, note: Shared) -> bool:
        """True where this, said not to be there, speaks of all of `note`."""
        return self.family == note.family and is_a(note.term, self.term)

    def at(self, place: Place) -> tuple[int, ...]:
        """The sticks that have it at one place."""
        return _sticks(s for s in self.spots if s.place == place)


@dataclass(frozen=True, slots=True)
class Change:
    """From the first third to the last: sticks in which a note came in, held, was said to be
    gone, or was not named again. Only sticks with notes in both thirds are compared; `of` is how
    many these are.
    """

    term: str
    came: tuple[int, ...]
    held: tuple[int, ...]
    gone: tuple[int, ...]
    left: tuple[int, ...]
    of: int


@dataclass(frozen=True, slots=True)
class Taste:
    """`notes` and `denied` (said not to be there) by number of sticks, then by name."""

    notes: tuple[Shared, ...]
    denied: tuple[Shared, ...]
    changes: tuple[Change, ...]

    def families(self) -> dict[str, tuple[Shared, ...]]:
        """The notes by family; families named in most sticks first."""
        found: dict[str, list[Shared]] = {}
        for note in self.notes:
            found.setdefault(note.family, []).append(note)
        rows = sorted(found.items(), key=lambda row: (-len(_of(row[1])), row[0]))
        return {family: tuple(notes) for family, notes in rows}

    def families_by_third(self) -> dict[str, tuple[int, int, int]]:
        """In how many sticks a family was named in each third."""
        rows = {}
        for family, notes in self.families().items():
            one, two, three = (len({s for n in notes for s in n.at(t)}) for t in (1, 2, 3))
            rows[family] = (one, two, three)
        return rows


def taste(sticks: Sequence[Stick]) -> Taste:
    """Return the notes of sticks of one size."""
    notes, denied = _shared(sticks, "present"), _shared(sticks, "absent")
    return Taste(notes, denied, _changes(sticks, notes, denied))


def place(note: Descriptor) -> Place:
    """Return where a note belongs: before lighting, in the room, in a third, in no one third."""
    if note.source in IN_THE_SMOKE:
        return note.third
    return ROOM if note.source == "room" else BEFORE


def _shared(sticks: Sequence[Stick], polarity: str) -> tuple[Shared, ...]:
    told = [(s, d) for s in sticks for d in s.reading.descriptors if d.polarity == polarity]
    terms: dict[str, set[str]] = {}
    for _, d in told:
        terms.setdefault(d.family, set()).add(d.term)
    spots: dict[tuple[str, str], list[Spot]] = {}
    for stick, d in told:
        spot = Spot(stick.number, place(d), d.utterance, d.start, d.term, d.quote)
        spots.setdefault((d.family, widest(d.term, terms[d.family])), []).append(spot)
    rows = [
        Shared(term, family, tuple(sorted({s.term for s in row})), tuple(row), len(sticks))
        for (family, term), row in spots.items()
    ]
    return tuple(sorted(rows, key=lambda n: (-len(n.sticks), n.term, n.family)))


def _changes(
    sticks: Sequence[Stick], notes: Sequence[Shared], denied: Sequence[Shared]
) -> tuple[Change, ...]:
    both = {s.number for s in sticks if _speaks_of(s.reading, 1) and _speaks_of(s.reading, 3)}
    rows = []
    for note in notes:
        first, last = both.intersection(note.at(1)), both.intersection(note.at(3))
        said = {s for d in denied if d.denies(note) for s in d.at(3)}
        fields = (last - first, first & last, (first - last) & said, first - last - said)
        if first or last:
            came, held, gone, left = (tuple(sorted(row)) for row in fields)
            rows.append(Change(note.term, came, held, gone, left, len(both)))
    return tuple(rows)


def _speaks_of(reading: Reading, third: int) -> bool:
    return any(d.third == third and d.source in IN_THE_SMOKE for d in reading.descriptors)


def _of(notes: Iterable[Shared]) -> set[int]:
    return {stick for note in notes for stick in note.sticks}


def _sticks(spots: Iterable[Spot]) -> tuple[int, ...]:
    return tuple(sorted({spot.stick for spot in spots}))
