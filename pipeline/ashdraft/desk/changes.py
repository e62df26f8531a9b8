"""What each kind of change does to a reading. A change that no longer fits raises `Lost`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from ..facts import words
from ..model import Check, Count, Descriptor, Utterance
from ..tidy import tidy
from .entry import Entry
from .working import Lost, Working

_STOPS = tuple(".,;:!?…")
PLAIN = {"touch_ups": "Touch-ups", "relights": "Relights"}
_tidied = lru_cache(maxsize=8192)(tidy)


def change(working: Working, entry: Entry) -> None:
    """Make one change. Raises `Lost`, and then nothing was changed."""
    if entry.do == "count":
        _count(working, entry.given)
    elif entry.sentence is not None:
        _OF_SENTENCE[entry.do](working, working.find(entry.sentence), entry.given)


def span_of(said: str, words: str, nth: int = 0) -> tuple[int, int]:
    """Return where the `nth` (from 0) whole-word place of `words` in `said` is. Raises `Lost`."""
    spaced = r"\s+".join(map(re.escape, words.split()))
    pattern = rf"(?<!\w){spaced}(?!\w)"
    found = list(re.finditer(pattern, said)) or list(re.finditer(pattern, said, re.IGNORECASE))
    if nth >= len(found):
        raise Lost
    return found[nth].span()


def _correct(working: Working, key: int, given: Mapping[str, Any]) -> None:
    was, now = given["was"], given["now"]
    start, stop = span_of(working.said[key].said, was, given["nth"])
    _rewrite(working, key, start, stop, now)
    working.heard_checked(key, was)
    left = [
        r
        for r in working.repairs.get(key, ())
        if not _overlap(r.meant if r.applied else r.heard, was)
    ]
    working.repairs[key] = left


def _accept(working: Working, key: int, given: Mapping[str, Any]) -> None:
    heard, meant = given["heard"], given["meant"]
    if not meant:
        span_of(working.said[key].said, heard)
        working.heard_checked(key, heard)
        working.changed.add(key)
        return
    at, repair = _repair(working, key, heard, meant)
    if not repair.applied:
        start, stop = span_of(working.said[key].said, heard)
        _rewrite(working, key, start, stop, meant)
        working.repairs[key][at] = replace(repair, applied=True)
    working.settled.add((key, heard, meant))
    working.changed.add(key)


def _refuse(working: Working, key: int, given: Mapping[str, Any]) -> None:
    """Take a repair back; words nobody can make out are put in brackets, as a guess."""
    heard, meant = given["heard"], given["meant"]
    if not meant:
        start, stop = span_of(working.said[key].said, heard)
        _rewrite(working, key, start, stop, f"({working.said[key].said[start:stop]})")
        working.heard_checked(key, heard)
        return
    at, repair = _repair(working, key, heard, meant)
    if repair.applied:
        start, stop = span_of(working.said[key].said, meant)
        _rewrite(working, key, start, stop, heard)
    del working.repairs[key][at]
    working.changed.add(key)


def _move(working: Working, key: int, given: Mapping[str, Any]) -> None:
    section, third = given["section"], given["third"]
    basis = "said" if third else None
    working.struck.discard(key)
    working.put(key, section=section, third=third, third_basis=basis, confidence=1.0)
    for n, note in enumerate(working.descriptors.get(key, ())):
        working.descriptors[key][n] = replace(note, section=section, third=third)
    for n, event in enumerate(working.events.get(key, ())):
        working.counted(event.kind, event.third, -1)
        working.counted(event.kind, third, 1)
        working.events[key][n] = replace(event, third=third)


def _strike(working: Working, key: int, _given: Mapping[str, Any]) -> None:
    """Leave a sentence out: it becomes an aside, and nothing is stated in it any more."""
    working.put(key, section="aside", third=None, third_basis=None, confidence=1.0)
    working.struck.add(key)
    for event in working.events.pop(key, ()):
        working.counted(event.kind, event.third, -1)
    working.descriptors.pop(key, None)
    working.marks.pop(key, None)
    working.repairs.pop(key, None)
    working.heard_checked(key, working.said[key].heard)
    only = [fact for fact, ids in working.evidence.items() if ids == [key]]
    for fact in only:
        working.facts.pop(fact, None)
        del working.evidence[fact]
    working.repoint(key, [])


def _merge(working: Working, key: int, _given: Mapping[str, Any]) -> None:
    """Put a sentence and the one behind it together; it stays where the first was."""
    at = working.order.index(key) + 1
    if at == len(working.order):
        raise Lost
    gone = working.order[at]
    one, other = working.said[key], working.said[gone]
    texts = {
        name: f"{getattr(one, name)} {getattr(other, name)}".strip()
        for name in ("heard", "said", "text")
    }
    working.drop_into(gone, key)
    working.put(key, end=max(one.end, other.end), **texts)
    for n, note in enumerate(working.descriptors.get(key, ())):
        working.descriptors[key][n] = replace(note, section=one.section, third=one.third)


def _split(working: Working, key: int, given: Mapping[str, Any]) -> None:
    """Part a sentence behind the words `before`, at the second `time` of the recording."""
    whole = working.said[key]
    before, said = given["before"], " ".join(whole.said.split())
    if not said.startswith(f"{before} "):
        raise Lost
    after = said[len(before) + 1 :]
    time = min(max(given["time"], whole.start), whole.end)
    heard = whole.heard.split()
    at = round(len(heard) * len(before.split()) / max(1, len(whole.said.split())))
    first, second = " ".join(heard[:at]), " ".join(heard[at:])
    working.put(key, end=time, heard=first, said=before, text=_tidied(before))
    rest = replace(whole, start=time, heard=second, said=after, text=_tidied(after))
    new = working.add_after(key, rest)
    for note in working.descriptors.pop(key, []):
        mine = note.term.casefold() in before.casefold()
        place = key if mine else new
        start = whole.start if mine else time
        working.descriptors.setdefault(place, []).append(
            replace(note, utterance=place, start=start, quote=_quoted(note, working.said[place]))
        )
    for row in working.repairs.pop(key, []):
        place = key if _holds(before, row.meant if row.applied else row.heard) else new
        working.repairs.setdefault(place, []).append(replace(row, utterance=place))
    working.repoint(key, [key, new])


def _note(working: Working, key: int, given: Mapping[str, Any]) -> None:
    said = working.said[key]
    fields = {k: given[k] for k in ("term", "family", "polarity", "source", "intensity")}
    note = Descriptor(
        **fields, section=said.section, third=said.third, utterance=key, start=said.start,
        quote=said.said,
    )  # fmt: skip
    working.descriptors.setdefault(key, []).append(note)
    working.changed.add(key)


def _renote(working: Working, key: int, given: Mapping[str, Any]) -> None:
    at = _note_at(working, key, given)
    fields = {k: given[k] for k in ("term", "family", "polarity", "source", "intensity")}
    working.descriptors[key][at] = replace(working.descriptors[key][at], **fields)
    working.changed.add(key)


def _unnote(working: Working, key: int, given: Mapping[str, Any]) -> None:
    at = _note_at(working, key, given)
    del working.descriptors[key][at]
    working.changed.add(key)


def _count(working: Working, given: Mapping[str, Any]) -> None:
    name = given["which"]
    before = working.counts[name]
    first, second, final = given["by_third"]
    total = max(given["total"], first + second + final)
    working.counts[name] = Count(total, (first, second, final), before.utterances)
    working.checks.append(
        Check(
            "count",
            f"{PLAIN[name]} were set to {total} at the desk; {before.total} came out of the "
            f"recording. Reason: {given['reason']}",
            before.utterances,
        )
    )


def _rewrite(working: Working, key: int, start: int, stop: int, now: str) -> None:
    """Put words in the place of others; a note whose own words are gone goes with them."""
    old = working.said[key].said
    before, behind = old[:start], old[stop:]
    if not now:
        before, behind = before.rstrip(), behind.lstrip()
        behind = behind if behind[:1] in _STOPS else f" {behind}"
    said = f"{before}{now}{behind}".strip()
    working.put(key, said=said, text=_tidied(said))
    _ask_of_facts(working, key)
    low = said.casefold()
    working.descriptors[key] = [
        replace(d, quote=_quoted(d, working.said[key]))
        for d in working.descriptors.get(key, ())
        if d.term.casefold() in low or d.term.casefold() not in old.casefold()
    ]


def _ask_of_facts(working: Working, key: int) -> None:
    """Ask about the facts that came out of a sentence whose words are others now."""
    names = [words(fact) for fact, ids in working.evidence.items() if key in ids]
    if names:
        told = f"A sentence that told the {', the '.join(names)} was changed at the desk; compare."
        asked = Check("fact", told, (key,))
        working.checks = [*(c for c in working.checks if c != asked), asked]


def _quoted(note: Descriptor, said: Utterance) -> str:
    return note.quote if note.quote in said.said else said.said


def _repair(working: Working, key: int, heard: str, meant: str) -> tuple[int, Any]:
    for n, repair in enumerate(working.repairs.get(key, ())):
        if (repair.heard, repair.meant) == (heard, meant):
            return n, repair
    raise Lost


def _note_at(working: Working, key: int, given: Mapping[str, Any]) -> int:
    for n, note in enumerate(working.descriptors.get(key, ())):
        if (note.term, note.polarity) == (given["old"], given["old_polarity"]):
            return n
    raise Lost


def _holds(said: str, words: str) -> bool:
    return words.casefold() in said.casefold()


def _overlap(one: str, other: str) -> bool:
    return _holds(one, other) or _holds(other, one)


_OF_SENTENCE: Mapping[str, Callable[[Working, int, Mapping[str, Any]], None]] = {
    "correct": _correct,
    "accept": _accept,
    "refuse": _refuse,
    "move": _move,
    "strike": _strike,
    "merge": _merge,
    "split": _split,
    "note": _note,
    "renote": _renote,
    "unnote": _unnote,
}
