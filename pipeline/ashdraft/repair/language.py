"""How likely words are where they stand: reviewers' speech over general English.

Reviewers' speech is a trigram model with Witten-Bell back-off (Witten and Bell, "The zero-
frequency problem", IEEE Transactions on Information Theory 37, 1991) counted over the project's
labelled recordings; words of one kind (a part, a leaf, a tasting note, a number) count as one,
so that "the wrapper is oily" also speaks for "the binder is oily". Below it stands the bigram
model of general English.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import ashdraft_models

from ..errors import DataDamaged
from .english import LN10, UNKNOWN, English, english
from .vocabulary import kinds

PATH = ashdraft_models.ROOT / "repair" / "spoken.txt"
START, END = "<s>", "</s>"
_GENERAL = 0.25  # share of general English beside reviewers' speech
_FLOOR = 1e-9
_OWN = -6.0  # natural logarithm: a typed name is said a few times in two thousand words
_POSSESSIVE = 0.02  # how often 's follows a noun that the dictionary lists without it


@dataclass(frozen=True, slots=True)
class Language:
    """Probabilities of words after the two words before them."""

    counts: Mapping[tuple[str, ...], float]
    followed: Mapping[tuple[str, ...], tuple[float, int]]
    """A history to how often it was seen and how many different words followed."""
    members: Mapping[str, Mapping[str, float]]
    """A kind to the probability of its words."""
    general: English
    own: frozenset[str] = frozenset()
    """Words that the user gave: names that no text has."""
    _kept: dict[tuple[str, str, str], float] = field(default_factory=dict)

    def log(self, word: str, last: str, before: str) -> float:
        """Natural logarithm of the probability of `word` after `before` and `last`."""
        key = (word, last, before)
        found = self._kept.get(key)
        if found is None:
            found = self._kept[key] = self._log(word, last, before)
        return found

    def with_own(self, words: Iterable[str]) -> Language:
        """The same model, in which these words are said now and then, wherever it be."""
        return replace(self, own=frozenset(words), _kept={})

    def _log(self, word: str, last: str, before: str) -> float:
        if word in self.own:
            return _OWN
        general = math.exp(self.plain(word, last))
        kind = kind_of(word)
        within = 1.0
        if kind != word:
            members = self.members.get(kind, {})
            within = members.get(word) or members.get("", 1e-4)
        a, b = kind_of(before), kind_of(last)
        base = general if kind == word else self.counts.get((kind,), 0.0) / self._total()
        spoken = self._backed(kind, (a, b), base) * within
        return math.log(max(_FLOOR, (1 - _GENERAL) * spoken + _GENERAL * general))

    def _backed(self, kind: str, history: tuple[str, ...], base: float) -> float:
        seen, different = self.followed.get(history, (0.0, 0))
        lower = self._backed(kind, history[1:], base) if history else base
        if not seen:
            return lower
        count = self.counts.get((*history, kind), 0.0)
        return (count + different * lower) / (seen + different)

    def _total(self) -> float:
        return self.followed[()][0]

    def plain(self, word: str, last: str) -> float:
        """Natural logarithm of the probability in general English."""
        if word in (START, END):
            return -2.6  # sentences of a dozen words
        if word in self.own:
            return _OWN
        if word.isdigit():
            return -7.0
        if word.endswith("'s") and word not in self.general.places:
            return self.general.log(word[:-2], last) + math.log(_POSSESSIVE)
        return max(self.general.log(word, "<s>" if last == START else last), UNKNOWN * LN10)

    def score(self, words: Sequence[str], at: int, end: int) -> float:
        """Sum of logarithms of words `at` up to `end`; START stands before the first."""
        total = 0.0
        for i in range(at, end):
            total += self.log(
                words[i], words[i - 1] if i else START, words[i - 2] if i > 1 else START
            )
        return total


def kind_of(word: str) -> str:
    """The kind that stands for a word in counts; most words stand for themselves."""
    if word.isdigit():
        return "<number>"
    return kinds().get(word, word)


@cache
def language() -> Language:
    """The model that ships."""
    counts: dict[tuple[str, ...], float] = {}
    try:
        for line in PATH.read_text(encoding="utf-8").splitlines():
            if not line.startswith("#"):
                count, _, gram = line.partition("\t")
                counts[tuple(gram.split(" "))] = float(count)
    except (OSError, ValueError) as error:
        raise DataDamaged(
            f"{PATH.name} cannot be read: {error}", "Install Ashdraft again."
        ) from error
    return from_counts(counts)


def from_counts(counts: Mapping[tuple[str, ...], float]) -> Language:
    """A model from counts of one to three kinds in a row; `=kind word` counts within a kind."""
    grams: dict[tuple[str, ...], float] = {}
    inside: dict[str, dict[str, float]] = {}
    for gram, count in counts.items():
        if gram[0].startswith("="):
            inside.setdefault(gram[0][1:], {})[gram[1]] = count
        else:
            grams[gram] = count
    followed: dict[tuple[str, ...], tuple[float, int]] = {}
    for gram, count in grams.items():
        seen, different = followed.get(gram[:-1], (0.0, 0))
        followed[gram[:-1]] = (seen + count, different + 1)
    sizes: dict[str, int] = {}
    for kind in kinds().values():
        sizes[kind] = sizes.get(kind, 0) + 1
    members: dict[str, dict[str, float]] = {}
    for kind, size in sizes.items():
        found = inside.get(kind, {})
        different = len(found) + 1
        total = sum(found.values()) + different
        fresh = different / total / size
        members[kind] = {w: c / total + fresh for w, c in found.items()}
        members[kind][""] = fresh
    return Language(grams, followed, members, english())
