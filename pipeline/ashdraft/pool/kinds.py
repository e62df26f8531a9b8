"""When two wordings name one note: `oak`, `oaky` and `oakiness`; `pepper` and `black pepper`."""

from __future__ import annotations

from collections.abc import Iterable

from ..sheet.topics import topics

_ENDINGS = ("iness", "ness", "y", "s")
_SHORTEST = 3
_DOUBLED = "bdgmnprt"
"""Letters that are doubled before an ending: `nutty`, `minty` does not, `tarry`."""


def stem(term: str) -> str:
    """Return a term without the ending that makes a quality or a plural of a note.

    Words for the feel of the smoke (`creamy`, `oily`) are no taste of cream or oil and stay as
    they are; which these are stands in sheets/topics.toml.
    """
    last = term.rpartition(" ")[2]
    for ending in _ENDINGS:
        if not last.endswith(ending) or len(last) - len(ending) < _SHORTEST:
            continue
        if ending == "s" and last.endswith("ss"):
            continue
        base = term[: -len(ending)]
        feel = topics()["mouthfeel"].words
        if feel.fullmatch(term) or feel.fullmatch(f"{base}y"):
            return term
        if ending != "s" and base[-1] == base[-2] and base[-1] in _DOUBLED:
            base = base[:-1]
        return base.removesuffix("e")
    return term.removesuffix("e")


def is_a(term: str, wider: str) -> bool:
    """Return True where `term` is the note `wider`, or a kind of it."""
    own, other = stem(term), stem(wider)
    return own == other or own.endswith(f" {other}")


def widest(term: str, named: Iterable[str]) -> str:
    """Return the shortest of the terms `named` that `term` is, or is a kind of."""
    return min((t for t in named if is_a(term, t)), key=lambda t: (len(stem(t)), len(t), t))
