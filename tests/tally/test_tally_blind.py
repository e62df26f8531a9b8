"""A blind draft tells neither name, maker nor price, and closing puts all of it back."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from ashdraft.assemble import draft
from ashdraft.errors import InputMissing
from ashdraft.model import MadeBy, Notes, Recording
from ashdraft.sheet import fill, load_sheet
from ashdraft.tally import is_sealed, seal, tally, unseal
from ashdraft.tally.secrets import secrets

from ..assemble import gold
from ..sheet.made import reading, said
from .made import folder, notes, shelf, type_marks

FACTS = {"name": "Dunvarrick No. 7", "maker": "Quillon & Söhne", "price": 9.5, "currency": "EUR"}
ALL = {"Wrapper": "4", "Roll": "3", "Taste": "4", "Finish": "-", "Trouble": "2"}
MADE_BY = MadeBy("0.1.0", "base", "en_core_web_sm", "0" * 16)
RECORDING = Recording("porch.m4a", "0" * 64, 0.0, 90.0)
MONEY = re.compile(r"[$€£]\s?\d|\b(?:EUR|USD|GBP) \d|(?<![\d.])9\.50?\b|\bprice [A-Z]{3}")
TIMES = re.compile(r"<#t=[\d.,]+>")


@pytest.mark.parametrize("name", [f.stem for f in gold.FILES][::6])
def test_blind_draft_of_any_recording_tells_nothing_and_comes_back(
    name: str, tmp_path: Path
) -> None:
    made = gold.notes(gold.reading(name), typed_facts=FACTS)
    whole = draft(made, fill(load_sheet(), made.reading), caution=True)
    sealed = seal(whole, made)
    assert not re.search(r"dunvarrick|quillon|söhne|porch\.m4a", sealed.text, re.I)
    shown = TIMES.sub("", sealed.text)
    assert not MONEY.search(shown)
    for key in ("price", "box_price_each"):
        if key in made.reading.facts:
            assert f"{made.reading.facts[key]:.2f}" not in shown
    table = re.search(r"^\| Section \|.*?\n\n", whole, re.M | re.S)
    blind = re.search(r"^\| Section \|.*?\n\n", sealed.text, re.M | re.S)
    assert table
    assert blind
    rows = [[line.split("|")[1:5] for line in t[0].splitlines()] for t in (table, blind)]
    assert rows[0] == rows[1]  # every row can still be marked
    yaml.safe_load(sealed.text.split("\n---\n", 1)[0])
    (tmp_path / sealed.kept[0]).write_text(sealed.kept[1], encoding="utf-8")
    assert unseal(sealed.text, tmp_path) == whole
    assert seal(whole, made) == sealed


def test_blind_draft_is_marked_closed_and_opened(tmp_path: Path) -> None:
    plain = folder(tmp_path / "a", shelf(), **FACTS)
    blind = folder(tmp_path / "b", shelf(), blind=True, **FACTS)
    text = blind.read_text("utf-8")
    assert not re.search("zovrana|quillon|dunvarrick|9.50|nine dollars", text, re.I)
    assert "Black pepper first, and cedar." in text
    type_marks(blind, ALL)
    tally(blind)
    assert is_sealed(blind.read_text("utf-8"))
    assert "- Name, maker and price are withheld" in blind.read_text("utf-8")
    moved = blind.read_text("utf-8").replace(
        "Black pepper first, and cedar.", "Pepper, then cedar."
    )
    blind.write_text(moved, encoding="utf-8")
    done = tally(blind, close=True)
    assert done.sheet.closed
    assert not is_sealed(blind.read_text("utf-8"))
    type_marks(plain, ALL)
    tally(plain, close=True)
    opened = blind.read_text("utf-8").replace(
        "Pepper, then cedar.", "Black pepper first, and cedar."
    )
    assert opened == plain.read_text("utf-8")
    assert not tally(blind, close=True).changed


def test_mark_changed_after_closing_is_listed(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf(), blind=True)
    type_marks(path, ALL)
    tally(path, close=True)
    type_marks(path, {"Wrapper": "5", "Finish": "3.5", "Roll": ""})
    for _ in range(2):
        done = tally(path)
        assert done.sheet.closed
        assert done.standing.changed == (
            "Wrapper 5, was 4",
            "Roll blank, was 3",
            "Finish 3.5, was -",
        )
    assert "- Changed after closing: Wrapper 5, was 4\n" in path.read_text("utf-8")
    assert tally(path, close=False).sheet.total is None
    type_marks(path, ALL)
    assert tally(path).standing.changed == ()


def test_zero_after_closing_is_a_mark_and_no_blank(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, ALL)
    tally(path, close=True)
    type_marks(path, {"Wrapper": "0"})
    assert tally(path).standing.changed == ("Wrapper 0, was 4",)


def test_piece_that_is_moved_or_deleted(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf(), blind=True, **FACTS)
    type_marks(path, ALL)
    text = path.read_text("utf-8")
    token = re.search(r"^\*withheld-[0-9a-f]{8}-\d+\*$", text, re.M)
    assert token
    gone = text.replace(f"{token[0]}\n", "", 1)
    gone = gone.replace("## Verdict\n", f"## Verdict\n\n{token[0]}\n", 1)
    path.write_text(gone, encoding="utf-8")
    tally(path, close=True)
    assert "## Verdict\n\nI paid $9.50 for it.\n" in path.read_text("utf-8")


def test_blind_draft_away_from_its_folder_cannot_be_closed(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf(), blind=True)
    type_marks(path, ALL)
    next((tmp_path / "s" / ".ashdraft").glob("withheld-*.json")).unlink()
    before = path.read_bytes()
    with pytest.raises(InputMissing, match="withholds"):
        tally(path, close=True)
    assert path.read_bytes() == before


def test_tasting_note_in_a_name_is_withheld_only_with_the_name() -> None:
    made = notes(name="Cedar Hill", maker="Quillon")
    whole = draft(made, fill(shelf(), made.reading), caution=True)
    text = seal(whole, made).text
    assert "cedar hill" not in text.lower()
    assert "Black pepper first, and cedar." in text
    assert "| Smoke | Taste | 40 |  | first third: black pepper, cedar (0:20) |" in text


@pytest.mark.parametrize(
    ("sentence", "withheld"),
    [
        ("It costs nine fifty a stick.", True),
        ("Nine fifty, as I remember.", False),  # a bare number, and no word of the price
        ("That was nine dollars well spent.", True),
        ("The Lanterns burn better than these.", True),
        ("Lantern's ash is grey.", True),
        ("Lántern ash, again.", True),
        ("A lan tern of ash.", False),  # misheard beyond what is known
        ("Grey ash, and firm.", False),
    ],
)
def test_sentence_is_withheld_for_name_and_money_alone(sentence: str, withheld: bool) -> None:
    made = Notes(MADE_BY, (RECORDING,), reading([said(0, sentence, "burn", 1)]),
                 typed_facts={"name": "Lantern No. 3"})  # fmt: skip
    assert (secrets(made).utterances == {0}) is withheld
