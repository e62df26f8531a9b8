"""The doubtful places of a session, in the order of the recording, for one key to visit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from .changes import span_of
from .journal import Applied
from .working import HEARING, Lost

Kind = Literal["hearing", "repair", "suggestion"]


@dataclass(frozen=True, slots=True)
class Doubt:
    """Characters `start` up to `stop` of what an utterance says, and why they are doubtful.

    `heard` is what the recogniser wrote there, `meant` what it was taken for (a repair that was
    made) or may have been (a suggestion); a hearing has nothing better.
    """

    utterance: int
    start: int
    stop: int
    kind: Kind
    heard: str
    meant: str
    reason: str


def doubts(applied: Applied) -> tuple[Doubt, ...]:
    """Return what is doubtful in notes and was not settled, by utterance and place."""
    return tuple(sorted(_found(applied), key=lambda d: (d.utterance, d.start)))


def _found(applied: Applied) -> Iterator[Doubt]:
    notes = applied.notes
    said = {u.id: u.said for u in notes.reading.utterances}
    for check in notes.checks:
        if check.kind == "hearing" and (words := HEARING.search(check.message)):
            for utterance in check.utterances[:1]:
                yield from _at(said, utterance, words[1], "hearing", words[1], "", "")
    for repair in notes.repairs:
        if (repair.utterance, repair.heard, repair.meant) not in applied.settled:
            shown = repair.meant if repair.applied else repair.heard
            kind: Kind = "repair" if repair.applied else "suggestion"
            yield from _at(
                said, repair.utterance, shown, kind, repair.heard, repair.meant, repair.reason
            )


def _at(
    said: dict[int, str], utterance: int, words: str, kind: Kind, heard: str, meant: str, why: str
) -> Iterator[Doubt]:
    try:
        start, stop = span_of(said[utterance], words)
    except (Lost, KeyError):
        return
    yield Doubt(utterance, start, stop, kind, heard, meant, why)
