"""Typed facts: which there are, what values they may have, and how they meet spoken ones."""

from __future__ import annotations

import pytest
from ashdraft.errors import UsageError
from ashdraft.export import schema
from ashdraft.facts import NOTES_FACTS, TYPED_ONLY, checked, disagreements, parse_size
from ashdraft.model import FactValue, Reading
from ashdraft.options import Options


def test_facts_are_those_of_the_notes_format() -> None:
    assert list(schema()["properties"]["facts"]["properties"]) == list(NOTES_FACTS)
    assert not set(NOTES_FACTS) & set(TYPED_ONLY)


@pytest.mark.parametrize(
    ("text", "length", "ring"),
    [
        ("5 5/8 x 46", 5.625, 46),
        ("6x52", 6, 52),
        ("6 × 52", 6, 52),
        ("4.875 by 50", 4.875, 50),
        ("7/8 X 40", 0.875, 40),
    ],
)
def test_size_is_read_as_the_trade_writes_it(text: str, length: float, ring: int) -> None:
    """Length in inches, ring gauge in 64ths of an inch: common practice, no source."""
    assert parse_size(text) == {"length_in": length, "ring_gauge": ring}


@pytest.mark.parametrize("text", ["", "52", "6 inches", "6x", "x52", "6x52x3", "5/0 x 40", "-6x52"])
def test_size_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="ring gauge"):
        parse_size(text)


@pytest.mark.parametrize(
    ("key", "value", "kept"),
    [
        ("price", 9.0, 9),
        ("price", 8.5, 8.5),
        ("currency", " eur ", "EUR"),
        ("wrapper", "Habano-seed,\n Ecuador", "Habano-seed, Ecuador"),
        ("obtained", "sample", "sample"),
    ],
)
def test_checked_gives_the_proper_type(key: str, value: FactValue, kept: FactValue) -> None:
    made = checked(key, value)
    assert (made, type(made)) == (kept, type(kept))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("colour", "brown"),
        ("price", "8.50"),
        ("price", True),
        ("price", float("inf")),
        ("samples", 0),
        ("rh_percent", 101),
        ("name", ""),
        ("country", 7),
        ("currency", "€"),
    ],
)
def test_checked_refuses_what_cannot_be(key: str, value: object) -> None:
    with pytest.raises(ValueError, match=r"fact|must"):
        checked(key, value)


def test_options_keep_checked_facts() -> None:
    from pathlib import Path

    assert Options((Path("a.wav"),), facts={"currency": "usd"}).facts == {"currency": "USD"}
    with pytest.raises(UsageError):
        Options((Path("a.wav"),), facts={"currency": "dollars"})


@pytest.mark.parametrize(
    ("typed", "spoken", "differ"),
    [
        (8.5, 8.5, False),
        (9, 8.5, True),
        ("Nicaragua", "nicaragua", False),
        ("Habano", "Habano seed Ecuador", False),
        ("Honduras", "Nicaragua", True),
    ],
)
def test_disagreement_is_a_check(typed: FactValue, spoken: FactValue, differ: bool) -> None:
    key = "country" if isinstance(typed, str) else "price"
    reading = Reading("live", (), facts={key: spoken}, fact_evidence={key: (3,)})
    checks = disagreements(reading, {key: typed, "name": "Lantern"})
    assert len(checks) == differ
    for check in checks:
        assert (check.kind, check.utterances) == ("fact", (3,))
        assert str(typed) in check.message
        assert str(spoken) in check.message
