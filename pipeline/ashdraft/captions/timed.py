"""The words that are shown, each with its place in time."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from ..model import Said, Word

LINE_CHARACTERS = 42
"""Per line, two lines a cue: Netflix, English Timed Text Style Guide. Spaces count."""


@dataclass(frozen=True, slots=True)
class Timed:
    """One word of the shown text and when it is spoken, in seconds."""

    text: str
    start: float
    end: float


def tokens(text: str) -> list[str]:
    """Split `text` at white space, without control characters; none is longer than a line."""
    clean = "".join(_safe(c) for c in text)
    return [
        token[at : at + LINE_CHARACTERS]
        for token in clean.split()
        for at in range(0, len(token), LINE_CHARACTERS)
    ]


def timed(text: str, said: Said) -> list[Timed]:
    """Return the words of `text`, a wording of `said`, in time order within the utterance.

    A word takes the recogniser's time where the recogniser heard it; what lies between two
    such words shares the time there by letters.
    """
    words = tokens(text)
    known = _known(words, said.words)
    spans: list[Timed] = []
    now, at = said.start, 0
    while at < len(words):
        if at in known:
            spoken = known[at]
            start = max(now, spoken.start)
            spans.append(Timed(words[at], start, max(start, spoken.end)))
            now = spans[-1].end
            at += 1
            continue
        behind = next((i for i in range(at, len(words)) if i in known), len(words))
        until = known[behind].start if behind < len(words) else said.end
        until = max(until, now)
        spans += _shares(words[at:behind], now, until)
        now, at = until, behind
    return spans


def _known(words: Sequence[str], heard: Sequence[Word]) -> dict[int, Word]:
    matcher = SequenceMatcher(
        None, [_key(w) for w in words], [_key(w.text) for w in heard], autojunk=False
    )
    return {
        at + step: heard[heard_at + step]
        for at, heard_at, size in matcher.get_matching_blocks()
        for step in range(size)
    }


def _shares(words: Sequence[str], start: float, end: float) -> list[Timed]:
    letters = sum(len(w) + 1 for w in words)
    per_letter = (end - start) / letters
    spans, done = [], 0
    for word in words:
        reached = done + len(word) + 1
        spans.append(Timed(word, start + done * per_letter, start + reached * per_letter))
        done = reached
    return spans


def _safe(character: str) -> str:
    category = unicodedata.category(character)
    if category in ("Cc", "Zl", "Zp"):
        return " "
    return "\N{REPLACEMENT CHARACTER}" if category == "Cs" else character


def _key(word: str) -> str:
    return "".join(c for c in word.casefold() if c.isalnum())
