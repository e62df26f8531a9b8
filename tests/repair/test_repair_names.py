"""Typed names and the reviewer's own words. All names are invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.errors import UsageError
from ashdraft.model import Heard
from ashdraft.repair import read_terms, repair

NAMES = ["Dunvarrick Number Seven", "Marquelo Tern"]


def said(text: str, **given: object) -> str:
    return repair([Heard(0.0, 1.0, text)], **given)[0][0].said  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("I'm smoking the Dun Varick number seven.", "I'm smoking the Dunvarrick Number Seven."),
        ("The done Verrick has an oily wrapper.", "The Dunvarrick has an oily wrapper."),
        ("This is the marquee low tern, a toro.", "This is the Marquelo Tern, a toro."),
        ("It burned down to number seven of ten.", "It burned down to number seven of ten."),
        ("I turn it and the wrapper is oily.", "I turn it and the wrapper is oily."),
    ],
)
def test_names_typed_are_heard(heard: str, meant: str) -> None:
    assert said(heard, names=NAMES) == meant


def test_names_not_given_are_not_made_up() -> None:
    assert (
        said("I'm smoking the Dun Varick, a robusto.") == "I'm smoking the Dun Varick, a robusto."
    )


def test_names_a_hint_tells_how_a_word_is_said() -> None:
    heard = "I like the bowel ring, a nice toro."
    assert said(heard, names=["Wqrm"]) == heard
    assert said(heard, terms={"Wqrm": ("bowel ring",)}) == "I like the Wqrm, a nice toro."


def test_names_repairs_say_why() -> None:
    _, (told,) = repair([Heard(0, 1, "The done Verrick is a robusto.")], NAMES)
    assert (told.heard, told.meant) == ("done Verrick", "Dunvarrick")
    assert "name you gave" in told.reason


def test_terms_file(tmp_path: Path) -> None:
    file = tmp_path / "terms.txt"
    file.write_text(
        "\ufeff# my words\n\nDunvarrick: dun varrick,  done   very\r\nBellwether\n",
        encoding="utf-8",
    )
    assert read_terms(file) == {"Dunvarrick": ("dun varrick", "done very"), "Bellwether": ()}


@pytest.mark.parametrize("content", [b": hint only", b"Name: 7 up", b"\xff\xfe\x00bad"])
def test_terms_file_that_is_wrong_says_what_to_type(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "terms.txt"
    file.write_bytes(content)
    with pytest.raises(UsageError) as failure:
        read_terms(file)
    assert "terms.txt" in str(failure.value)


def test_terms_file_missing(tmp_path: Path) -> None:
    with pytest.raises(UsageError):
        read_terms(tmp_path / "nowhere.txt")
