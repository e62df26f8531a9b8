"""The names of families as a reader would say them."""

from __future__ import annotations

_SAID = {
    "fruit-dried": "dried fruit",
    "fruit-fresh": "fresh fruit",
    "taste-basics": "basic tastes",
}
"""Families whose file name is turned round, so that they stand together in the folder."""


def family_words(family: str) -> str:
    """Return a lexicon family's name in words: `pepper-and-heat` gives `pepper and heat`."""
    return _SAID.get(family, family.replace("-", " "))
