"""Whether the talk around an utterance is a review at all: elsewhere nothing is repaired."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from .language import START, Language

_AROUND = 8  # utterances on either side
_GIVEN, _GIVEN_WORDS = 0.3, 30  # whoever uses this tool is likely to review; worth so many words
_LEAST = 0.05
"""Review talk is this much likelier, a word, as reviewers' speech than as general English (natural
logarithm). Measured around utterances: 0.1 to 2.0 in reviews, -1.0 to 0.0 in prose."""
_LOWEST, _HIGHEST = -1.0, 3.0  # what one word may say for or against


def reviewing(utterances: Sequence[Sequence[str]], language: Language) -> list[bool]:
    """For each utterance (lower-case words): is it among review talk?"""
    told = [0.0, *accumulate(_evidence(words, language) for words in utterances)]
    length = [0, *accumulate(len(words) for words in utterances)]
    found: list[bool] = []
    for i in range(len(utterances)):
        first, end = max(0, i - _AROUND), min(len(utterances), i + _AROUND + 1)
        evidence = told[end] - told[first] + _GIVEN * _GIVEN_WORDS
        found.append(evidence / (length[end] - length[first] + _GIVEN_WORDS) >= _LEAST)
    return found


def _evidence(words: Sequence[str], language: Language) -> float:
    total = 0.0
    last = before = START
    for word in words:
        more = language.log(word, last, before) - language.plain(word, last)
        total += min(_HIGHEST, max(_LOWEST, more))
        last, before = word, last
    return total
