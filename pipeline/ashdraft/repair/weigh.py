"""Weighs candidates against leaving the words as they are.

A conditional logit model (McFadden, "Conditional logit analysis of qualitative choice
behavior", 1974): each candidate gets a score from its features, leaving the words has the score
0, and the probability of a candidate is its share of the exponentials of everything that could
stand in its place. The weights are fitted by train_weights.py on recognised recordings with
known words, so the probability is the confidence that is shown.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import ashdraft_models

from ..errors import DataDamaged
from .candidates import Candidate
from .language import START, Language, kind_of

PATH = ashdraft_models.ROOT / "repair" / "weights.toml"
NAMES = (
    "gain", "plain_gain", "distance", "distance_each", "doubt", "same_sound", "close_sound",
    "note", "name", "unknown_word", "strange_word", "capital", "ending", "reviewers_word",
    "session", "more_words", "bias",
)  # fmt: skip
UNSTATED = 0.9
"""Taken for the recogniser's probability of a word where a transcript has none."""
_MOST_GAIN = 16.0
_LEAST_DOUBT, _MOST_DOUBT = -1.0, 1.5
_CLOSE, _SAME = 0.3, 0.05


@dataclass(frozen=True, slots=True)
class Choice:
    """A candidate with its share: `certainty` that its target was said, in whatever form."""

    candidate: Candidate
    certainty: float


@dataclass(frozen=True, slots=True)
class Row:
    """One utterance: lower-case words, how sure the recogniser was of each, which are names.

    `capital` marks words written with a capital that do not begin a sentence. `session` counts
    the words of the whole recording.
    """

    words: Sequence[str]
    sure: Sequence[float]
    capital: Sequence[bool]
    session: Mapping[str, int]


def features(candidate: Candidate, row: Row, language: Language) -> tuple[float, ...]:
    """What speaks for and against a candidate, in the order of NAMES."""
    first, end, meant = candidate.first, candidate.end, candidate.meant
    heard = row.words[first:end]
    doubt = sum(math.log((1.02 - p) / (0.02 + p)) for p in row.sure[first:end]) / len(heard)
    unknown = any(w not in language.general.places for w in heard)
    capital = any(row.capital[first:end])
    return (
        min(_MOST_GAIN, candidate.gain) + 0.1 * max(0.0, candidate.gain - _MOST_GAIN),
        max(-10.0, min(10.0, _plain_gain(candidate, row.words, language))),
        meant.far,
        5 * meant.far / meant.size,
        min(_MOST_DOUBT, max(_LEAST_DOUBT, doubt)),
        float(meant.far < _SAME),
        float(meant.far < _CLOSE),
        float(meant.target.group == "note"),
        float(meant.target.group == "name"),
        float(unknown and capital),
        float(unknown and not capital),
        float(capital),
        float(meant.written != meant.target.written),
        min(math.log1p(_said(w, language)) for w in heard) / 3,
        min(2.0, min(math.log1p(row.session.get(w, 0)) for w in meant.target.words)),
        float(len(heard) - 1),
        1.0,
    )


def choices(candidates: Sequence[Candidate], row: Row, language: Language) -> list[Choice]:
    """The likeliest candidate at each place, none overlapping, in order."""
    weights = _weights()
    shares = [
        math.exp(sum(weights[n] * x for n, x in zip(NAMES, f, strict=True)))
        for f in (features(c, row, language) for c in candidates)
    ]
    ranked = sorted(zip(shares, candidates, strict=True), key=lambda s: -s[0])
    taken: set[int] = set()
    chosen: list[Choice] = []
    for _, best in ranked:
        span = set(range(best.first, best.end))
        if span & taken:
            continue
        taken |= span
        rivals = [(share, c) for share, c in ranked if c.first < best.end and c.end > best.first]
        total = 1.0 + sum(share for share, _ in rivals)
        mine = sum(s for s, c in rivals if c.meant.target is best.meant.target)
        chosen.append(Choice(best, mine / total))
    return sorted(chosen, key=lambda c: c.candidate.first)


def _said(word: str, language: Language) -> float:
    """How often reviewers said a word in the recordings that were counted."""
    kind = kind_of(word)
    if kind == word:
        return language.counts.get((word,), 0.0)
    return language.members.get(kind, {}).get(word, 0.0) * language.counts.get((kind,), 0.0)


def _plain_gain(candidate: Candidate, words: Sequence[str], language: Language) -> float:
    """How much likelier the target is in general English (natural logarithm)."""
    before = words[candidate.first - 1] if candidate.first else START
    after = words[candidate.end : candidate.end + 1]

    def log(middle: Sequence[str]) -> float:
        row = (before, *middle, *after)
        return sum(language.plain(row[i], row[i - 1]) for i in range(1, len(row)))

    return log(candidate.meant.words) - log(words[candidate.first : candidate.end])


@cache
def _weights() -> Mapping[str, float]:
    try:
        raw = tomllib.loads(PATH.read_text(encoding="utf-8"))
        return {name: float(raw["weights"][name]) for name in NAMES}
    except (OSError, UnicodeDecodeError, KeyError, TypeError, ValueError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error
