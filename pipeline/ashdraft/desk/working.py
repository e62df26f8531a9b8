"""A reading taken apart so that changes can be made to it one after another, and put together."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from difflib import SequenceMatcher
from itertools import chain
from typing import Any, TypeVar

from ..model import (
    Check,
    Count,
    Descriptor,
    Event,
    EventKind,
    Mark,
    Notes,
    Repair,
    Utterance,
)
from .entry import Anchor

NEAR = 30.0
"""Seconds by which the same words may have moved."""
ALIKE = 0.6
"""Words two wordings of a sentence must share (difflib's ratio) to be of one sentence."""
COUNTED: Mapping[str, EventKind] = {"touch_ups": "touch-up", "relights": "relight"}
HEARING = re.compile(r"“(.*)”")
"""The words that a check of the kind `hearing` doubts stand in its message."""

_Of = TypeVar("_Of", Descriptor, Event, Mark, Repair)


class Lost(Exception):
    """A change whose place is not found any more."""


class Working:
    """Statements by the key of their utterance: the ids of the reading, and new ones after them."""

    def __init__(self, notes: Notes) -> None:
        """Take `notes` apart; they stay as they are."""
        reading = notes.reading
        self.notes = notes
        self.said: dict[int, Utterance] = {u.id: u for u in reading.utterances}
        self.order = [u.id for u in reading.utterances]
        self.descriptors = _by_utterance(reading.descriptors)
        self.events = _by_utterance(reading.events)
        self.marks = _by_utterance(reading.marks)
        self.repairs = _by_utterance(notes.repairs)
        self.counts: dict[str, Count] = {name: getattr(reading, name) for name in COUNTED}
        self.facts = dict(reading.facts)
        self.evidence = {key: list(ids) for key, ids in reading.fact_evidence.items()}
        self.checks = list(notes.checks)
        self.struck: set[int] = set()
        self.changed: set[int] = set()
        self.settled: set[tuple[int, str, str]] = set()
        self._next = max(self.order, default=-1) + 1
        self._heard: dict[str, list[int]] = {}
        for key, utterance in self.said.items():
            self._heard.setdefault(utterance.heard, []).append(key)

    def find(self, anchor: Anchor) -> int:
        """Return the key of the sentence that `anchor` names. Raises `Lost`.

        The same words at about the same time; else the wording most like it among those that
        the same seconds hold.
        """
        same = [k for k in self._heard.get(anchor.heard, ()) if self._is(k, anchor.heard)]
        if same:
            key = min(same, key=lambda k: abs(self.said[k].start - anchor.start))
            if abs(self.said[key].start - anchor.start) <= NEAR:
                return key
        words = anchor.heard.split()
        best, key = ALIKE, -1
        for k in self.order:
            u = self.said[k]
            if u.start < anchor.end and anchor.start < u.end:
                alike = SequenceMatcher(None, words, u.heard.split(), autojunk=False).ratio()
                if alike >= best:
                    best, key = alike, k
        if key < 0:
            raise Lost
        return key

    def put(self, key: int, **fields: Any) -> None:
        """Change fields of an utterance."""
        self.said[key] = replace(self.said[key], **fields)
        self._heard.setdefault(self.said[key].heard, []).append(key)
        self.changed.add(key)

    def add_after(self, key: int, utterance: Utterance) -> int:
        """Put a new utterance behind another and return its key."""
        new, self._next = self._next, self._next + 1
        self.said[new] = replace(utterance, id=new)
        self.order.insert(self.order.index(key) + 1, new)
        self._heard.setdefault(utterance.heard, []).append(new)
        self.changed.add(new)
        return new

    def drop_into(self, gone: int, key: int) -> None:
        """Take an utterance out; what was stated in it is stated in another."""
        self.order.remove(gone)
        del self.said[gone]
        _handed(self.descriptors, gone, key)
        _handed(self.events, gone, key)
        _handed(self.marks, gone, key)
        _handed(self.repairs, gone, key)
        self.repoint(gone, [key])
        self.settled = {(key if k == gone else k, h, m) for k, h, m in self.settled}

    def repoint(self, gone: int, keys: Sequence[int]) -> None:
        """Let evidence that names one utterance name others, or none."""

        def named(ids: Iterable[int]) -> tuple[int, ...]:
            return tuple(dict.fromkeys(chain(*(keys if i == gone else (i,) for i in ids))))

        for name, count in self.counts.items():
            self.counts[name] = replace(count, utterances=named(count.utterances))
        self.evidence = {fact: list(named(ids)) for fact, ids in self.evidence.items()}
        self.checks = [replace(c, utterances=named(c.utterances)) for c in self.checks]

    def counted(self, kind: EventKind, third: int | None, by: int) -> None:
        """Let a count follow an event that came (`by` 1) or went (-1)."""
        for name, of in COUNTED.items():
            if of == kind:
                count = self.counts[name]
                thirds = list(count.by_third)
                if third is not None:
                    thirds[third - 1] = max(0, thirds[third - 1] + by)
                total = max(sum(thirds), count.total + by)
                first, second, final = thirds
                self.counts[name] = replace(count, total=total, by_third=(first, second, final))

    def heard_checked(self, key: int, words: str) -> None:
        """Take away the checks that doubt these words of an utterance, or some of them."""
        low = words.casefold()
        self.checks = [
            c
            for c in self.checks
            if c.kind != "hearing"
            or key not in c.utterances
            or not (found := HEARING.search(c.message))
            or not (found[1].casefold() in low or low in found[1].casefold())
        ]

    def done(self, more: Sequence[Check]) -> tuple[Notes, dict[int, int]]:
        """Return the notes, and the id that each key has in them."""
        ids = {key: n for n, key in enumerate(self.order)}
        if self.order == [u.id for u in self.notes.reading.utterances]:
            ids = {key: key for key in self.order}
        reading = replace(
            self.notes.reading,
            utterances=tuple(_numbered(self.said[k], ids[k]) for k in self.order),
            descriptors=_in_order(self.descriptors, ids),
            events=_in_order(self.events, ids),
            marks=_in_order(self.marks, ids),
            touch_ups=_renamed(self.counts["touch_ups"], ids),
            relights=_renamed(self.counts["relights"], ids),
            facts=self.facts,
            fact_evidence={f: tuple(ids[k] for k in ks) for f, ks in self.evidence.items()},
        )
        checks = (_renamed(c, ids) for c in [*more, *self.checks])
        return replace(
            self.notes,
            reading=reading,
            repairs=_in_order(self.repairs, ids),
            checks=tuple(checks),
        ), ids

    def _is(self, key: int, heard: str) -> bool:
        return key in self.said and self.said[key].heard == heard


def _by_utterance(rows: Iterable[_Of]) -> dict[int, list[_Of]]:
    found: dict[int, list[_Of]] = {}
    for row in rows:
        found.setdefault(row.utterance, []).append(row)
    return found


def _numbered(u: Utterance, id: int) -> Utterance:
    if u.id == id:
        return u
    return Utterance(
        id, u.start, u.end, u.heard, u.said, u.text, u.section, u.third, u.third_basis, u.confidence
    )


def _handed(rows: dict[int, list[_Of]], gone: int, key: int) -> None:
    for row in rows.pop(gone, ()):
        rows.setdefault(key, []).append(replace(row, utterance=key))


def _in_order(rows: Mapping[int, Sequence[_Of]], ids: Mapping[int, int]) -> tuple[_Of, ...]:
    return tuple(
        row if row.utterance == ids[key] else replace(row, utterance=ids[key])
        for key in sorted(rows, key=lambda k: ids.get(k, -1))
        if key in ids
        for row in rows[key]
    )


_Naming = TypeVar("_Naming", Check, Count)


def _renamed(row: _Naming, ids: Mapping[int, int]) -> _Naming:
    named = tuple(ids[k] for k in row.utterances if k in ids)
    return row if named == row.utterances else replace(row, utterances=named)
