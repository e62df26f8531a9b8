"""Phrases of the cue files as parts of a pattern over a `Stream`."""

from __future__ import annotations

import re
from functools import cache

from . import data
from .stream import split_words


def normal(phrase: str) -> str:
    """A phrase as it stands in `Stream.text`; it may be typed with its contractions apart."""
    parts = (
        [part] if part.startswith("'") else [w.lower for w in split_words(part)]
        for part in phrase.split()
    )
    return " ".join(word for part in parts for word in part)


@cache
def any_of(*cues: str) -> str:
    """A group that matches any phrase of these cues, the longest first."""
    known = data.cues()
    said = {normal(phrase) for cue in cues for phrase in known[cue]}
    return "(?:" + "|".join(re.escape(p) for p in sorted(said, key=lambda p: (-len(p), p))) + ")"


@cache
def pattern(text: str) -> re.Pattern[str]:
    """A pattern over whole words; `{cue.id}` stands for any phrase of that cue."""
    filled = re.sub(r"\{([a-z][\w.-]*)\}", lambda m: any_of(m[1]), text)
    return re.compile(rf"(?<![^ ])(?:{filled})(?![^ ])")
