"""The facts of a cigar: which there are, which values they may have, typed against spoken."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from .model import Check, FactValue, Reading

OBTAINED = ("bought", "gifted", "sample")


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: its name in words and the numbers it may have (None: it is text).

    `whole` facts are counts.
    """

    words: str
    lowest: float | None = None
    highest: float = 0.0
    whole: bool = False


NOTES_FACTS: Mapping[str, Fact] = {
    "length_in": Fact("length in inches", 0.5, 30),
    "ring_gauge": Fact("ring gauge", 10, 200),
    "price": Fact("price", 0, 1e6),
    "currency": Fact("currency"),
    "box_price_each": Fact("price each by the box", 0, 1e6),
    "rh_percent": Fact("relative humidity in percent", 0, 100),
    "rest_days": Fact("days of rest", 0, 36525, whole=True),
    "samples": Fact("number smoked", 1, 10000, whole=True),
    "wrapper": Fact("wrapper"),
    "binder": Fact("binder"),
    "filler": Fact("filler"),
    "country": Fact("country"),
    "format": Fact("format"),
    "smoking_minutes": Fact("smoking time in minutes", 0, 1440),
}
"""What notes.json holds, in its order there (docs/notes-format.md)."""

TYPED_ONLY: Mapping[str, Fact] = {
    "name": Fact("name"),
    "maker": Fact("maker"),
    "obtained": Fact("how it was obtained"),
    "cut": Fact("cut"),
    "note": Fact("note"),
}
"""What a reviewer may type besides; it goes into the draft only."""


def checked(key: str, value: object) -> FactValue:
    """Return a typed fact's value in its proper type.

    Raises `ValueError` for an unknown key and for a value that the fact cannot have; the
    message says what would be right.
    """
    fact = NOTES_FACTS.get(key) or TYPED_ONLY.get(key)
    if fact is None:
        raise ValueError(f"there is no fact {key!r}; use {', '.join([*NOTES_FACTS, *TYPED_ONLY])}")
    if fact.lowest is not None:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(f"the {fact.words} must be a number")
        if not fact.lowest <= value <= fact.highest:
            raise ValueError(f"the {fact.words} must be {fact.lowest:g} to {fact.highest:g}")
        if fact.whole and value != int(value):
            raise ValueError(f"the {fact.words} must be a whole number")
        return int(value) if value == int(value) else value
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"the {fact.words} must be text")
    text = " ".join(value.split())
    if key == "currency":
        if not (len(text) == 3 and text.isascii() and text.isalpha()):
            raise ValueError("the currency must be a three-letter code such as USD or EUR")
        return text.upper()
    if key == "obtained" and text not in OBTAINED:
        raise ValueError(f"obtained must be one of: {', '.join(OBTAINED)}")
    return text


def parse_size(text: str) -> dict[str, FactValue]:
    """Return `length_in` and `ring_gauge` of a size as the trade writes it: `5 5/8 x 46`.

    Raises `ValueError` for anything else.
    """
    inches = r"(?:(?:(\d+) +)?(\d+/[1-9]\d*)|(\d+(?:\.\d+)?))"
    match = re.fullmatch(rf"{inches} *(?:x|×|by) *(\d+)", text.strip(), re.IGNORECASE)
    if not match:
        raise ValueError("the size must be inches by ring gauge, as in '5 5/8 x 46' or 6x52")
    whole, fraction, plain, ring = match.groups()
    length = Fraction(whole or 0) + Fraction(fraction or 0) + Fraction(plain or 0)
    return {"length_in": float(length), "ring_gauge": int(ring)}


def merged(spoken: Mapping[str, FactValue], typed: Mapping[str, FactValue]) -> dict[str, FactValue]:
    """Return the spoken facts with the typed ones over them."""
    return {**spoken, **typed}


def disagreements(reading: Reading, typed: Mapping[str, FactValue]) -> tuple[Check, ...]:
    """Return a check for each typed fact of which something else was said."""
    return tuple(
        Check(
            "fact",
            f"The {words(key)} was typed as {_shown(value)} and said as "
            f"{_shown(reading.facts[key])}; the typed one is used.",
            reading.fact_evidence.get(key, ()),
        )
        for key, value in typed.items()
        if key in reading.facts and not _agree(value, reading.facts[key])
    )


def words(key: str) -> str:
    """Return a fact's name as a reader would say it."""
    fact = NOTES_FACTS.get(key) or TYPED_ONLY.get(key)
    return fact.words if fact else key.replace("_", " ")


def _agree(typed: FactValue, spoken: FactValue) -> bool:
    if isinstance(typed, str) or isinstance(spoken, str):
        ours, theirs = (set(str(v).casefold().split()) for v in (typed, spoken))
        return ours <= theirs or theirs <= ours
    return abs(typed - spoken) < 1e-6


def _shown(value: FactValue) -> str:
    return value if isinstance(value, str) else f"{value:g}"
