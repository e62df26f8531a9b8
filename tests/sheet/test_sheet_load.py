"""Sheet definitions: the default one, and what is said of files with a mistake."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from ashdraft.errors import DataDamaged, InputMissing
from ashdraft.sheet import load_sheet
from hypothesis import given, settings
from hypothesis import strategies as st

SMALL = """\
format = "ashdraft-sheet"
version = 1
name = "Shelf sheet"

[scale]
lowest = 0
highest = 5
step = 0.5

[scale.anchors]
0 = "unsaleable"
5 = "sells itself"

[[section]]
id = "smoke"
name = "Smoke"

[[section.row]]
id = "taste"
name = "Taste"
weight = 3
spoken = ["taste"]
sources = ["palate"]

[[section.row]]
id = "line"
name = "Burn line"
weight = 1
counts = ["touch_ups"]
topics = ["burn-line"]
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "shelf.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_sheet_default_has_five_sections_and_weights_of_100() -> None:
    sheet = load_sheet()
    assert [s.id for s in sheet.sections] == [
        "appearance", "pre-light", "palate", "burn", "presentation",
    ]  # fmt: skip
    assert 12 <= len(sheet.rows) <= 18
    assert sheet.weight == 100
    assert all(row.asks for row in sheet.rows)


def test_sheet_default_scale_has_nine_points_each_with_words() -> None:
    scale = load_sheet().scale
    assert (scale.lowest, scale.highest, scale.step) == (1, 9, 1)
    assert list(scale.anchors) == list(range(1, 10))
    assert len(set(scale.anchors.values())) == 9
    # Anchors name the quality of an attribute, not liking: none of the words of the nine-point
    # hedonic scale (Peryam and Pilgrim, Food Technology 11 (1957) 9-14) stands in them.
    hedonic = {"like", "dislike", "extremely", "moderately", "slightly", "neither"}
    assert not [w for text in scale.anchors.values() for w in text.split() if w in hedonic]


def test_sheet_own_file_with_halves(tmp_path: Path) -> None:
    sheet = load_sheet(written(tmp_path, SMALL))
    assert (sheet.name, sheet.file) == ("Shelf sheet", "shelf.toml")
    assert sheet.scale.step == 0.5
    assert [row.name for row in sheet.rows] == ["Taste", "Burn line"]
    assert sheet.rows[0].asks == ""
    assert sheet.weight == 4


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('format = "ashdraft-sheet"', 'format = "other"', "line 1", "format"),
        ("version = 1", "version = 2", "line 1", "version = 1"),
        ("highest = 5", "highest = 0", "line 7 (scale)", "whole number of steps"),
        ("step = 0.5", "step = 0.4", "line 7 (scale)", "whole number of steps"),
        ("step = 0.5", "step = 0", "line 7 (scale)", "whole number of steps"),
        ("lowest = 0", 'lowest = "0"', "line 6 (scale)", "lowest must be a number"),
        ('5 = "sells itself"', '6 = "sells itself"', "(scale)", "anchor 6"),
        ("weight = 3", "weight = 0", "line 21 (taste)", "weight must be above 0"),
        ("weight = 3", 'weight = "3"', "line 21 (taste)", "weight must be a number"),
        ("weight = 3", "weight = nan", "line 21 (taste)", "weight must be a number"),
        ("weight = 3\n", "", "line 18 (taste)", "weight must be a number"),
        ('sources = ["palate"]', 'sources = ["tongue"]', "line 23 (taste)", "'tongue'"),
        ('topics = ["burn-line"]', 'topics = ["ember"]', "line 30 (line)", "'ember'"),
        ('counts = ["touch_ups"]', 'count = ["touch_ups"]', "line 29 (line)", "no key 'count'"),
        ('spoken = ["taste"]', 'spoken = "taste"', "line 22 (taste)", "list of words"),
        ('name = "Burn line"', 'name = "Burn | line"', "line 27 (line)", "without |"),
        ('name = "Burn line"', 'name = "Taste"', "line 27 (line)", "name 'Taste' stands twice"),
        ('id = "line"', 'id = "taste"', "line 26 (taste)", "id 'taste' stands twice"),
        ('id = "smoke"', 'id = ""', "line 15", "id must be one line of text"),
        ("[[section.row]]", "[[section.rows]]", "(smoke)", "no key 'rows'"),
        ("[[section]]", "[section]", "line 1", "[[section]]"),
        ("highest = 5", "highest = ", "line 7", "not valid TOML"),
    ],
)  # fmt: skip
def test_sheet_mistake_is_named_with_its_line(
    tmp_path: Path, old: str, new: str, line: str, words: str
) -> None:
    assert old in SMALL
    with pytest.raises(DataDamaged) as caught:
        load_sheet(written(tmp_path, SMALL.replace(old, new)))
    message = str(caught.value)
    assert message.startswith("shelf.toml")
    assert line in message
    assert words in message
    assert "docs/sheet.md" in caught.value.next_step


def test_sheet_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputMissing) as caught:
        load_sheet(tmp_path / "none.toml")
    assert "none.toml" in str(caught.value)


def test_sheet_file_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "shelf.toml"
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DataDamaged):
        load_sheet(path)


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_sheet_damaged_in_any_line_is_refused_or_read(
    data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    lines = SMALL.splitlines()
    at = data.draw(st.integers(0, len(lines) - 1))
    new = data.draw(st.sampled_from(["", "[", "weight = -1", 'id = "taste"', "[[section]]", "x=1"]))
    lines[at] = new
    path = written(tmp_path_factory.mktemp("sheet"), "\n".join(lines))
    with suppress(DataDamaged):
        assert load_sheet(path).rows
