"""Spoken numbers that recognition writes in ways that mean something else.

Only forms that can be nothing else: "5-5-8 by 46" is five and five eighths; "for and a half" is
four and a half; "six buy fifty" is a size. Everything that can be read in two ways is left to the
rule layer, with its context.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..rules.numbers import TENS, UNITS
from .text import Change, Spoken

REASON = "a number written as it sounds"
_SURE = 0.95
_PARTS = {"2", "4", "8", "16"}
_LONGEST = 10  # inches
_BY = frozenset(["by", "x", "times"])
_RINGS = range(20, 81)
_HALVES = {"for": "four", "fore": "four", "to": "two", "too": "two", "ate": "eight", "won": "one"}
_TENS = frozenset(TENS)
_LENGTHS = frozenset(UNITS[4:11]) | {"half", "quarter", "eighths", "eighth"}


def written_otherwise(words: Sequence[Spoken]) -> Iterator[Change]:
    """Changes to numbers in one utterance."""
    lower = [w.lower for w in words]
    for i, word in enumerate(lower):
        following = lower[i + 1 : i + 4]
        if _in_parts(lower[i : i + 5]) and not (i and lower[i - 1].isdigit()):
            yield Change(i, i + 3, f"{word} {lower[i + 1]}/{lower[i + 2]}", REASON, _SURE)
        elif word in _HALVES and following == ["and", "a", "half"]:
            yield Change(i, i + 1, _HALVES[word], REASON, _SURE)
        elif word in ("buy", "bye") and i and _length(lower[i - 1]) and _ring(following[:1]):
            yield Change(i, i + 1, "by", REASON, _SURE)


def _in_parts(row: Sequence[str]) -> bool:
    """Length in inches, a numerator, its denominator, "by" and a ring gauge, in single figures."""
    if len(row) < 5 or not row[0].isdigit() or not row[1].isdigit() or row[2] not in _PARTS:
        return False
    inches, above, below = int(row[0]), int(row[1]), int(row[2])
    return 3 <= inches <= _LONGEST and above < below and row[3] in _BY and _ring(row[4:5])


def _length(word: str) -> bool:
    return word in _LENGTHS or (word.isdigit() and 3 <= int(word) <= _LONGEST)


def _ring(row: Sequence[str]) -> bool:
    return bool(row) and (row[0] in _TENS or (row[0].isdigit() and int(row[0]) in _RINGS))
