"""Which wordings are one note, tried on the whole lexicon."""

from __future__ import annotations

import pytest
from ashdraft.pool.kinds import is_a, stem, widest
from ashdraft.rules.data import lexicon

# common practice of English word building, no source
ONE_NOTE = [
    ("oak", "oaky"), ("oak", "oakiness"), ("nut", "nutty"), ("nut", "nuts"), ("spice", "spicy"),
    ("grass", "grassiness"), ("smoky", "smokiness"), ("bitter", "bitterness"), ("tar", "tarry"),
    ("raisin", "raisins"), ("white oak", "white oaky"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), ONE_NOTE)
def test_endings_make_no_other_note(one: str, other: str) -> None:
    assert is_a(one, other)
    assert is_a(other, one)


@pytest.mark.parametrize(
    ("one", "other"),
    [("cream", "creamy"), ("cream", "creaminess"), ("oil", "oily"), ("hay", "ha"),
     ("pepper", "peppermint"), ("cedar", "red oak"), ("grass", "gras y")],
)  # fmt: skip
def test_the_feel_of_the_smoke_and_look_alikes_stay_apart(one: str, other: str) -> None:
    assert not is_a(one, other)


def test_a_kind_is_the_wider_note_and_not_the_other_way() -> None:
    assert is_a("black pepper", "pepper")
    assert is_a("black pepper", "peppery")
    assert not is_a("pepper", "black pepper")


def test_the_widest_of_those_named_is_taken_whatever_their_order() -> None:
    terms = ["cracked black pepper", "peppery", "black pepper", "pepper"]
    assert {widest(term, order) for term in terms for order in (terms, terms[::-1])} == {"pepper"}
    assert widest("black pepper", ["black pepper", "white pepper"]) == "black pepper"


def test_in_the_lexicon_one_stem_is_one_word() -> None:
    """Terms of one family that share a stem begin with the same letters."""
    found: dict[tuple[str, str], set[str]] = {}
    for term, family in lexicon().items():
        found.setdefault((family, stem(term)), set()).add(term)
    several = [terms for terms in found.values() if len(terms) > 1]
    assert len(several) > 60
    for terms in several:
        shortest = min(terms, key=len)
        assert all(t.startswith(shortest[: max(3, len(shortest) - 2)]) for t in terms), terms
