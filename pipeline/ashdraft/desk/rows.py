"""The transcript as rows: what was said, what is doubtful in it, and what it is about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..assemble.times import clock
from ..model import Descriptor, Utterance, Word
from .doubts import Doubt
from .journal import Applied
from .words import Words

THIRDS = {1: "first third", 2: "second third", 3: "final third"}


@dataclass(frozen=True, slots=True)
class Part:
    """Text of a row; `doubt` where it is a doubtful place, with the seconds of its words."""

    text: str
    doubt: Doubt | None = None
    begin: float | None = None
    end: float | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """A sentence of the transcript, as the page shows it."""

    said: Utterance
    clock: str
    struck: bool
    changed: bool
    doubts: tuple[Doubt, ...]
    parts: tuple[Part, ...]
    notes: tuple[Descriptor, ...]

    @property
    def id(self) -> int:
        """The id of the sentence."""
        return self.said.id

    @property
    def place(self) -> str:
        """What the sentence is about, in words."""
        u = self.said
        if self.struck:
            return "struck"
        return f"{u.section}, {THIRDS[u.third]}" if u.third else u.section


def rows(
    applied: Applied, doubts: Sequence[Doubt], words: Words, before: Mapping[int, Row]
) -> dict[int, Row]:
    """Return a row for each sentence, by id and in order. Those of `before` are used again."""
    found: dict[int, list[Doubt]] = {}
    for doubt in doubts:
        found.setdefault(doubt.utterance, []).append(doubt)
    noted: dict[int, list[Descriptor]] = {}
    for note in applied.notes.reading.descriptors:
        noted.setdefault(note.utterance, []).append(note)
    made: dict[int, Row] = {}
    for u in applied.notes.reading.utterances:
        flags = u.id in applied.struck, u.id in applied.changed
        here, notes = tuple(found.get(u.id, ())), tuple(noted.get(u.id, ()))
        old = before.get(u.id)
        if old and (old.said, (old.struck, old.changed), old.doubts, old.notes) == (
            u,
            flags,
            here,
            notes,
        ):
            made[u.id] = old
        else:
            parts = tuple(_parts(u.said, here, words.of(u) if here else ()))
            made[u.id] = Row(u, clock(u.start), *flags, here, parts, notes)
    return made


def _parts(said: str, doubts: Sequence[Doubt], words: Sequence[Word]) -> Iterator[Part]:
    at = 0
    for doubt in doubts:
        if doubt.start < at:
            continue
        if doubt.start > at:
            yield Part(said[at : doubt.start])
        span = _span(said, doubt, words)
        yield Part(said[doubt.start : doubt.stop], doubt, *span)
        at = doubt.stop
    if at < len(said) or not doubts:
        yield Part(said[at:])


def _span(said: str, doubt: Doubt, words: Sequence[Word]) -> tuple[float | None, float | None]:
    """Return when doubtful words were said, where each word of the sentence has its time."""
    if len(words) != len(said.split()):
        return None, None
    first = len(said[: doubt.start].split())
    last = first + len(said[doubt.start : doubt.stop].split()) - 1
    return words[first].start, words[min(last, len(words) - 1)].end
