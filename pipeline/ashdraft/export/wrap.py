"""Caption text: made safe for a one-paragraph payload, then cut into cues of two short lines."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

LINE_CHARACTERS = 42
"""Per line, two lines a cue: Netflix, English Timed Text Style Guide. Spaces count."""

CLAUSE_ENDS = (".", ",", ";", ":", "?", "!", "…")
HOLDS_NEXT = """
    a an the no not never without nor any some my your its this that these those very too so
    of in on at to from with by for and or but is was are were be been has have had
"""
"""Words not parted from what follows: the same guide keeps article and noun, negation and
verb together, and breaks before prepositions and conjunctions, not after."""
_HOLDS_NEXT = frozenset(HOLDS_NEXT.split())


def tokens(text: str) -> list[str]:
    """Split `text` at white space, without control characters; none is longer than a line."""
    clean = "".join(_safe(c) for c in text)
    return [
        token[at : at + LINE_CHARACTERS]
        for token in clean.split()
        for at in range(0, len(token), LINE_CHARACTERS)
    ]


def chunks(words: Sequence[str]) -> list[tuple[int, int]]:
    """Cut `words` into runs `(first, behind last)` that each fit two lines.

    A run ends behind punctuation where there is some in its second half.
    """
    runs = []
    first = 0
    while first < len(words):
        behind = first + 1
        while behind < len(words) and _fits(words[first : behind + 1]):
            behind += 1
        if behind < len(words):
            behind = _good_end(words, first, behind)
        runs.append((first, behind))
        first = behind
    return runs


def lines(words: Sequence[str]) -> tuple[str, ...]:
    """Lay out one run of `chunks` on one line or two."""
    whole = " ".join(words)
    if len(whole) <= LINE_CHARACTERS:
        return (whole,)
    pairs = [(" ".join(words[:at]), " ".join(words[at:])) for at in range(1, len(words))]
    fitting = [p for p in pairs if max(map(len, p)) <= LINE_CHARACTERS]
    return min(fitting, key=_raggedness)


def _safe(character: str) -> str:
    category = unicodedata.category(character)
    if category in ("Cc", "Zl", "Zp"):
        return " "
    return "\N{REPLACEMENT CHARACTER}" if category == "Cs" else character


def _fits(words: Sequence[str]) -> bool:
    used = [0]
    for word in words:
        longer = used[-1] + (1 if used[-1] else 0) + len(word)
        if longer <= LINE_CHARACTERS:
            used[-1] = longer
        else:
            used.append(len(word))
    return len(used) <= 2


def _good_end(words: Sequence[str], first: int, behind: int) -> int:
    middle = first + (behind - first + 1) // 2
    for end in range(behind, middle, -1):
        if words[end - 1].endswith(CLAUSE_ENDS):
            return end
    for end in range(behind, middle, -1):
        if words[end - 1].lower() not in _HOLDS_NEXT:
            return end
    return behind


def _raggedness(pair: tuple[str, str]) -> int:
    upper, lower = pair
    score = abs(len(upper) - len(lower))
    if upper.endswith(CLAUSE_ENDS):
        score -= LINE_CHARACTERS // 3
    if upper.rsplit(" ", 1)[-1].lower() in _HOLDS_NEXT:
        score += LINE_CHARACTERS
    return score
