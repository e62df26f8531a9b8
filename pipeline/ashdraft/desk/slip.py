"""The slip of a sentence: everything that can be changed in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, get_args

from ..model import Intensity, Source
from ..rules.data import lexicon
from .opened import Desk
from .rows import Row

OTHER = "other"


def slip(desk: Desk, row: Row) -> dict[str, Any]:
    """Return what the form of a sentence shows."""
    said = row.said
    words = said.said.split()
    timed = desk.words.of(said)
    cuts = [
        {
            "before": " ".join(words[:n]),
            "after": " ".join(words[n:]),
            "time": round(timed[n].start, 2)
            if len(timed) == len(words)
            else round(said.start + (said.end - said.start) * n / len(words), 2),
        }
        for n in range(1, len(words))
    ]
    return {
        "cuts": cuts,
        "sources": get_args(Source),
        "intensities": get_args(Intensity),
        "last": row.id == desk.applied.notes.reading.utterances[-1].id,
    }


def family_of(term: str) -> str:
    """Return the family of a note: of the term, of its longest end that is known, or `other`."""
    known = lexicon()
    words = " ".join(term.lower().split()).split()
    ends = (" ".join(words[n:]) for n in range(len(words)))
    return next((known[end] for end in ends if end in known), OTHER)


def offered(
    given: Mapping[str, Any], before: Mapping[int, Row], after: Mapping[int, Row]
) -> list[str]:
    """Return tasting notes that a correction put into a sentence and that are not noted there.

    They are only offered: whether the speaker met them is for the reviewer to say.
    """
    if given.get("do") not in ("correct", "accept", "refuse"):
        return []
    id = given.get("id")
    now, then = (rows.get(id) if isinstance(id, int) else None for rows in (after, before))
    if now is None or then is None:
        return []
    noted = {note.term.casefold() for note in now.notes}
    old = _terms(then.said.said)
    return [t for t in _terms(now.said.said) if t not in old and t not in noted][:3]


def _terms(said: str) -> list[str]:
    """Return the terms of the lexicon that stand in a sentence, of two words before one."""
    words = re.findall(r"[^\W_]+(?:['’-][^\W_]+)*", said.lower())
    found: list[str] = []
    taken: set[int] = set()
    for length in (3, 2, 1):
        for n in range(len(words) - length + 1):
            term = " ".join(words[n : n + length])
            if term in lexicon() and not taken & set(range(n, n + length)):
                taken |= set(range(n, n + length))
                found.append(term)
    return found
