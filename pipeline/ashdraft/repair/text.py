"""The words of an utterance and what happens to them when some are replaced."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..model import Word

_WORD = re.compile(r"[^\W_]+(?:['’][^\W_]+)*")
_MARK = re.compile(r"[^\s\-‐‑'’]")


@dataclass(frozen=True, slots=True)
class Spoken:
    """One word of the text: `lower` without punctuation, characters `start` up to `stop`."""

    lower: str
    start: int
    stop: int
    apart: bool = False
    """True where a mark other than a hyphen stands before it."""


@dataclass(frozen=True, slots=True)
class Change:
    """Words `first` up to `end` of an utterance become `meant`."""

    first: int
    end: int
    meant: str
    reason: str
    confidence: float


def spoken(text: str) -> tuple[Spoken, ...]:
    """The words of a text in order; hyphenated parts are words of their own."""
    found: list[Spoken] = []
    stop = 0
    for m in _WORD.finditer(text):
        apart = bool(_MARK.search(text[stop : m.start()]))
        found.append(Spoken(m[0].lower().replace("’", "'"), m.start(), m.end(), apart))
        stop = m.end()
    return tuple(found)


def replaced(text: str, words: Sequence[Spoken], changes: Sequence[Change]) -> str:
    """`text` with each change made; a capital at the start of what was heard is kept."""
    for change in sorted(changes, key=lambda c: -c.first):
        start, stop = words[change.first].start, words[change.end - 1].stop
        text = text[:start] + _cased(change.meant, text, start) + text[stop:]
    return text


def retimed(
    heard: Sequence[Word], text: str, words: Sequence[Spoken], changes: Sequence[Change]
) -> tuple[Word, ...]:
    """The timed words after the changes.

    Timed words and words of the text are matched by their letters in order. A change takes the
    span from its first to its last timed word, shared among the new words by their length, and
    the probability that the repair was given. Times are kept as heard where matching fails.
    """
    found = places(heard, text)
    if not found:
        return tuple(heard)
    result = list(heard)
    for change in sorted(changes, key=lambda c: -c.first):
        start, stop = words[change.first].start, words[change.end - 1].stop
        touched = [i for i, (a, b) in enumerate(found) if a < stop and b > start]
        if not touched:
            continue
        first, last = touched[0], touched[-1]
        before, after = text[found[first][0] : start], text[stop : found[last][1]]
        result[first : last + 1] = _shared(
            (before + _cased(change.meant, text, start) + after).split(),
            heard[first].start,
            heard[last].end,
            change.confidence,
        )
    return tuple(result)


def places(heard: Sequence[Word], text: str) -> list[tuple[int, int]]:
    """Where each timed word stands in the text; empty unless all are found in order."""
    found: list[tuple[int, int]] = []
    at = 0
    for word in heard:
        bare = word.text.strip()
        start = text.find(bare, at) if bare else at
        if start < 0:
            return []
        at = start + len(bare)
        found.append((start, at))
    return found


def _cased(meant: str, text: str, start: int) -> str:
    """`meant` with a capital where what was heard begins the text or a sentence with one."""
    before = text[:start].strip(" \"'-–—")
    begins = not before or before[-1] in ".!?…"
    return meant[0].upper() + meant[1:] if begins and text[start].isupper() else meant


def _shared(parts: list[str], start: float, end: float, probability: float) -> list[Word]:
    total = sum(len(p) for p in parts)
    words: list[Word] = []
    done = 0
    for part in parts:
        began = start + (end - start) * done / total
        done += len(part)
        stop = end if done == total else start + (end - start) * done / total
        words.append(Word(part, began, stop, probability))
    return words
