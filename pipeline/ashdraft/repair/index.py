"""Finds terms that sound somewhat like what was heard, without comparing with every term.

Every pronunciation is reduced to a skeleton of its consonants in broad classes, the idea of
Soundex and of Philips, "Hanging on the Metaphone", Computer Language 7 (1990). Skeletons that
differ by one consonant are met by storing each with every one left out: Mor and Fraenkel,
"A hash code method for detecting and correcting spelling errors", CACM 25 (1982).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

_CLASSES = {
    **dict.fromkeys("pb", "p"), **dict.fromkeys("fvTD", "f"), **dict.fromkeys("td", "t"),
    **dict.fromkeys("kg", "k"), **dict.fromkeys("szSZcj", "s"), **dict.fromkeys("mnN", "n"),
    "l": "l", "r": "r", "R": "r",
}  # fmt: skip
_SHORTEST = 3  # consonants; of a shorter skeleton none may be left out


@lru_cache(maxsize=1 << 15)
def skeleton(sounds: str) -> str:
    """The consonants in broad classes; vowels, glides and h left out, doubles made one."""
    out = ""
    for sound in sounds:
        mark = _CLASSES.get(sound, "")
        if mark and not out.endswith(mark):
            out += mark
    return out


def _variants(bones: str) -> Iterator[str]:
    yield bones
    if len(bones) >= _SHORTEST:
        for i in range(len(bones)):
            yield bones[:i] + bones[i + 1 :]


def _one_apart(a: str, b: str) -> bool:
    """True when one consonant changed, left out or put in makes `a` into `b`, or none."""
    if len(a) > len(b):
        a, b = b, a
    start = 0
    while start < len(a) and a[start] == b[start]:
        start += 1
    return a[start + (len(a) == len(b)) :] == b[start + 1 :] or a == b


class SoundIndex:
    """Terms by their sounds. `near` gives terms that may be alike, as they were put in."""

    def __init__(self, terms: Iterable[tuple[int, str]]) -> None:
        self._table: dict[str, list[tuple[int, str, str]]] = {}
        for number, sounds in terms:
            bones = skeleton(sounds)
            for key in set(_variants(bones)):
                self._table.setdefault(key, []).append((number, sounds, bones))
        self._near = lru_cache(maxsize=1 << 14)(self._look_up)

    def near(self, sounds: str) -> tuple[tuple[int, str], ...]:
        return self._near(skeleton(sounds))

    def _look_up(self, bones: str) -> tuple[tuple[int, str], ...]:
        found: dict[tuple[int, str], None] = {}
        for key in set(_variants(bones)):
            for number, sounds, others in self._table.get(key, ()):
                if _one_apart(bones, others):
                    found[number, sounds] = None
        return tuple(found)
