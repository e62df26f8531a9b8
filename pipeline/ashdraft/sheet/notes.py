"""Tasting notes by third, and how they changed from the third before."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..model import Descriptor, Intensity, Reading, Source

RANK: dict[Intensity, int] = {"faint": 0, "plain": 1, "strong": 2}
IN_THE_SMOKE: tuple[Source, ...] = ("palate", "retrohale", "finish")


@dataclass(frozen=True, slots=True)
class Note:
    """A term in one place: the strongest it was said to be, and the seconds it was said at."""

    term: str
    intensity: Intensity
    at: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Changes:
    """What became of the notes since the third before; each field lists terms as spoken.

    `gone` are those said to be gone, `unmentioned` those nothing more was said about.
    """

    new: tuple[str, ...] = ()
    back: tuple[str, ...] = ()
    stronger: tuple[str, ...] = ()
    fainter: tuple[str, ...] = ()
    still: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    unmentioned: tuple[str, ...] = ()


def present(notes: Iterable[Descriptor]) -> tuple[Note, ...]:
    """Return the notes that were there, each term once, in the order first said."""
    found: dict[str, Note] = {}
    for note in notes:
        if note.polarity == "present":
            kept = found.get(note.term)
            at = (*kept.at, note.start) if kept else (note.start,)
            strongest = max(
                note.intensity, kept.intensity if kept else "faint", key=RANK.__getitem__
            )
            found[note.term] = Note(note.term, strongest, at)
    return tuple(found.values())


def absent(notes: Iterable[Descriptor]) -> tuple[str, ...]:
    """Return the terms that were said not to be there, each once."""
    return tuple(dict.fromkeys(n.term for n in notes if n.polarity == "absent"))


def in_third(reading: Reading, third: int, sources: Sequence[Source]) -> tuple[Descriptor, ...]:
    """Return the notes of one third that were met in one of `sources`."""
    return tuple(d for d in reading.descriptors if d.third == third and d.source in sources)


def changes(reading: Reading, third: int) -> Changes:
    """Return how the notes of `third` (2 or 3) differ from those of the third before.

    A pair like `pepper` and `black pepper` counts as one note. Only what was said is compared:
    a note that is not mentioned again may still have been there.
    """
    thirds = {n: in_third(reading, n, IN_THE_SMOKE) for n in range(1, third + 1)}
    here, before = present(thirds[third]), present(thirds[third - 1])
    earlier = [n.term for t in range(1, third - 1) for n in present(thirds[t])]
    missing = absent(thirds[third])
    rows: dict[str, list[str]] = {name: [] for name in Changes.__dataclass_fields__}
    for note in here:
        match = next((b for b in before if same(b.term, note.term)), None)
        if match is None:
            known = any(same(term, note.term) for term in earlier)
            rows["back" if known else "new"].append(note.term)
        else:
            step = RANK[note.intensity] - RANK[match.intensity]
            rows["stronger" if step > 0 else "fainter" if step < 0 else "still"].append(note.term)
    terms = [n.term for n in here]
    for term in [*(n.term for n in before), *earlier]:
        if any(same(term, m) for m in missing) and not any(same(term, t) for t in terms):
            rows["gone"].append(term)
    for note in before:
        if not any(same(note.term, t) for t in (*terms, *missing)):
            rows["unmentioned"].append(note.term)
    return Changes(**{name: tuple(dict.fromkeys(row)) for name, row in rows.items()})


def same(one: str, other: str) -> bool:
    """Return True for the same note, said shorter or longer (`pepper`, `black pepper`)."""
    return one == other or one.endswith(f" {other}") or other.endswith(f" {one}")
