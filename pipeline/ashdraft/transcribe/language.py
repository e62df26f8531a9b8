"""Is it English? The rules read English only; another language is recognised but warned about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

ENGLISH = "en"
# Windows that are asked, from the first on.
ASKED = 3
# Accents and mumbling cost probability; only a clear other language counts as one.
_LEAST_ENGLISH = 0.25
_CLEARLY = 0.5


def language_of(answers: Sequence[Mapping[str, float]]) -> str:
    """The language to recognise in, from each window's probabilities: English unless clear.

    A model that knows English only gives no answers.
    """
    if not answers:
        return ENGLISH
    mean = {
        code: sum(answer.get(code, 0.0) for answer in answers) / len(answers)
        for code in set().union(*answers)
    }
    likely = max(mean, key=lambda code: (mean[code], code))
    if mean.get(ENGLISH, 0.0) < _LEAST_ENGLISH and mean[likely] > _CLEARLY:
        return likely
    return ENGLISH


def warning(language: str) -> str:
    """What to tell the user when `language` is not English, else nothing."""
    if language == ENGLISH:
        return ""
    return (
        f"The speech is probably not English (language code {language}). The words are kept as"
        " they were heard, but only English is understood."
    )
