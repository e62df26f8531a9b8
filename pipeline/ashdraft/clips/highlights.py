"""The stretches worth showing by themselves: where a new note appears, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..model import Descriptor, Notes, Recording, Said

SHORTEST, LONGEST = 5.0, 30.0
"""Seconds."""
MOST = 12
_APART = 2.5
_VERDICT = 4.0
_NEW = 2.0
_STRONG = 1.0
_THIRDS = {1: "first third", 2: "second third", 3: "final third"}
_PLACES = ("palate", "pre-light")


@dataclass(frozen=True, slots=True)
class Highlight:
    """`start` and `end` in seconds on the joined timeline; `why` is the tool's wording."""

    start: float
    end: float
    why: str
    utterances: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Seed:
    at: int
    score: float
    why: str


def highlights(notes: Notes, said: Sequence[Said]) -> tuple[Highlight, ...]:
    """Return the best stretches, at most twelve, in time order; they do not overlap.

    A note is new where its term is first reported as present, before lighting or on the palate.
    The verdict is the last of its stretches, where the speaker comes to a close. A stretch is
    whole sentences, 5 to 30 s; one that is shorter by itself is given time around it.
    """
    lines = sorted(said, key=lambda u: (u.start, u.end))
    place = {u.id: at for at, u in enumerate(lines)}
    seeds = [*_new_notes(notes, place), *_verdict(notes, place)]
    found: list[Highlight] = []
    for seed in sorted(seeds, key=lambda s: (-s.score, s.at)):
        made = _stretch(seed, lines, notes.recordings)
        if all(made.end <= h.start or made.start >= h.end for h in found):
            found.append(made)
    return tuple(sorted(found[:MOST], key=lambda h: h.start))


def _new_notes(notes: Notes, place: dict[int, int]) -> Iterable[_Seed]:
    known: set[str] = set()
    first: dict[int, list[Descriptor]] = {}
    rows = [d for d in notes.reading.descriptors if d.utterance in place]
    for row in sorted(rows, key=lambda d: d.start):
        if row.polarity == "present" and row.section in _PLACES and row.term not in known:
            known.add(row.term)
            first.setdefault(row.utterance, []).append(row)
    for utterance, new in first.items():
        strong = sum(d.intensity == "strong" for d in new)
        third = new[0].third
        where = f" in the {_THIRDS[third]}" if third in _THIRDS else ""
        where = where or (" before lighting" if new[0].section == "pre-light" else "")
        terms = ", ".join(d.term for d in new)
        yield _Seed(place[utterance], _NEW * len(new) + _STRONG * strong, f"New{where}: {terms}")


def _verdict(notes: Notes, place: dict[int, int]) -> Iterable[_Seed]:
    spoken = [u for u in notes.reading.utterances if u.section == "verdict" and u.id in place]
    if spoken:
        longest = max(spoken[-3:], key=lambda u: len(u.text))
        yield _Seed(place[longest.id], _VERDICT, "Verdict")


def _stretch(seed: _Seed, lines: Sequence[Said], recordings: Sequence[Recording]) -> Highlight:
    first = last = seed.at
    start, end = lines[seed.at].start, lines[seed.at].end
    while end - start < SHORTEST:
        after = _near(lines, last, last + 1) and lines[last + 1].end - start <= LONGEST
        before = _near(lines, first - 1, first) and end - lines[first - 1].start <= LONGEST
        if after:
            last += 1
        elif before:
            first -= 1
        else:
            break
        start, end = lines[first].start, max(end, lines[last].end)
    if end - start > LONGEST:
        ends = [w.end for w in lines[seed.at].words if w.end - start <= LONGEST]
        end = max(ends, default=start + LONGEST)
    start, end = _widened(start, end, recordings)
    ids = tuple(u.id for u in lines[first : last + 1])
    return Highlight(round(start, 3), round(end, 3), seed.why, ids)


def _near(lines: Sequence[Said], one: int, other: int) -> bool:
    if one < 0 or other >= len(lines):
        return False
    return lines[other].start - lines[one].end < _APART


def _widened(start: float, end: float, recordings: Sequence[Recording]) -> tuple[float, float]:
    """Return at least 5 s, within the recording that the stretch is in, where that is so long."""
    missing = max(SHORTEST - (end - start), 0.0)
    inside = [r for r in recordings if r.offset <= start < r.offset + r.duration]
    opens = inside[0].offset if inside else 0.0
    closes = inside[0].offset + inside[0].duration if inside else end + missing
    end = min(end + missing / 2, closes) if missing else end
    start = max(end - SHORTEST, opens) if missing else start
    return start, max(end, min(start + SHORTEST, closes))
