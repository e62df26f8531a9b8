"""Words that may be mis-heard though nothing better is known: for the reviewer to listen to.

A logistic model of a word being wrong, from the recogniser's probability, how unexpected the word
is where it stands, and whether English has it. Fitted on recordings of six authors, checked on
three others: of the words it marks, 0.55 and 0.60 were wrong (docs/hearing.md).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from ..model import Check, Heard, Repair
from .candidates import HESITATIONS
from .language import Language, language
from .row import sureness
from .text import Spoken, spoken

_UNSURE, _UNEXPECTED, _UNKNOWN, _BIAS = 0.90, 0.097, 0.95, -1.44
_MOST_UNEXPECTED = 14.0
DOUBTED = 0.4
"""Words at least this likely to be wrong are told."""


def doubtful(
    utterances: Sequence[Heard], repairs: Sequence[Repair], speech: Language | None = None
) -> tuple[Check, ...]:
    """A check (kind `hearing`) for each phrase that may be wrong and is in no repair.

    Words that stand together are told together. Utterances without word times have none.
    """
    model = speech or language()
    told: dict[int, list[str]] = {}
    for repair in repairs:
        told.setdefault(repair.utterance, []).append(repair.heard)
    return tuple(
        Check("hearing", f"May be mis-heard: “{phrase}”.", (number,))
        for number, heard in enumerate(utterances)
        if heard.words
        for phrase in _phrases(heard, told.get(number, ()), model)
    )


def wrong_chances(heard: Heard, words: Sequence[Spoken], model: Language) -> list[float]:
    """For each word the probability (0 to 1) that something else was said."""
    lower = [w.lower for w in words]
    chances: list[float] = []
    for i, sure in enumerate(sureness(heard, words)):
        unsure = math.log((1.02 - sure) / (0.02 + sure))
        unexpected = min(_MOST_UNEXPECTED, -model.score(lower, i, i + 1))
        unknown = lower[i] not in model.general.places
        score = _UNSURE * unsure + _UNEXPECTED * unexpected + _UNKNOWN * unknown + _BIAS
        chances.append(1 / (1 + math.exp(-score)))
    return chances


def _phrases(heard: Heard, repaired: Sequence[str], model: Language) -> Iterator[str]:
    words = spoken(heard.text)
    told = [False] * len(words)
    for phrase in repaired:
        for found in re.finditer(rf"\b{re.escape(phrase)}\b", heard.text):
            for i, word in enumerate(words):
                told[i] |= word.start < found.end() and word.stop > found.start()
    first: int | None = None
    chances = wrong_chances(heard, words, model)
    for i in range(len(words) + 1):
        marked = (
            i < len(words)
            and not told[i]
            and chances[i] >= DOUBTED
            and len(words[i].lower) > 1
            and not any(c.isdigit() for c in words[i].lower)
            and words[i].lower not in HESITATIONS
        )
        if marked and first is None:
            first = i
        elif not marked and first is not None:
            yield heard.text[words[first].start : words[i - 1].stop]
            first = None
