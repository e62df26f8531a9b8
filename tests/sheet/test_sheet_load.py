"""Sheet definitions: the default one, and what is said of files with a mistake."""

from __future__ import annotations

import re
from contextlib import suppress
from pathlib import Path

import pytest
from ashdraft.errors import DataDamaged, InputMissing
from ashdraft.sheet import load_sheet
from ashdraft.sheet.load import parse_sheet
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
weight = 60
spoken = ["taste"]
sources = ["palate"]

[[section.row]]
id = "line"
name = "Burn line"
weight = 40
counts = ["touch_ups"]
topics = ["burn-line"]

[[question]]
rows = ["line"]
mark_from = 4.5
counts = ["touch_ups"]
at_least = 2
ask = "Did it burn level without help?"
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
    assert sheet.weight == 100
    assert [(q.rows, q.mark_from, q.at_least) for q in sheet.questions] == [(("line",), 4.5, 2)]
    assert sheet.text == SMALL


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ('format = "ashdraft-sheet"', 'format = "other"', "line 1", "format"),
        ("version = 1", "version = 2", "line 2", "version must be 1"),
        ("version = 1", "version = true", "line 2", "version must be 1"),
        ('name = "Shelf sheet"\n', "", "line 1", "name must be one line"),
        ("highest = 5", "highest = 0", "line 7 (scale)", "highest must be above lowest"),
        ("highest = 5", "highest = -5", "line 7 (scale)", "highest must be above lowest"),
        ("step = 0.5", "step = 0.4", "line 8 (scale)", "whole number of steps"),
        ("step = 0.5", "step = 0", "line 8 (scale)", "step must be above 0"),
        ("step = 0.5", "step = -1", "line 8 (scale)", "step must be above 0"),
        ("lowest = 0", 'lowest = "0"', "line 6 (scale)", "lowest must be a number"),
        ("lowest = 0", "lowest = inf", "line 6 (scale)", "lowest must be a number"),
        ("lowest = 0", "floor = 0", "line 6 (scale)", "no key 'floor'"),
        ("[scale]", "[scales]", "line 5", "no key 'scales'"),
        ('5 = "sells itself"', '6 = "sells itself"', "line 12 (scale.anchors)", "anchor 6"),
        ('5 = "sells itself"', '"0.3" = "x"', "line 12 (scale.anchors)", "anchor 0.3"),
        ('5 = "sells itself"', '"0.0" = "x"', "line 12 (scale.anchors)", "once"),
        ('5 = "sells itself"', '4.5 = "x"', "line 12 (scale.anchors)", '"4.5"'),
        ('5 = "sells itself"', "5 = 5", "line 12 (scale.anchors)", "one line of text"),
        ("weight = 60", "weight = 0", "line 21 (taste)", "weight must be above 0"),
        ("weight = 60", "weight = -60", "line 21 (taste)", "weight must be above 0"),
        ("weight = 60", 'weight = "3"', "line 21 (taste)", "weight must be a number"),
        ("weight = 60", "weight = nan", "line 21 (taste)", "weight must be a number"),
        ("weight = 60", f"weight = 1{'0' * 400}", "line 21 (taste)", "weight must be a number"),
        ("weight = 60\n", "", "line 18 (taste)", "weight must be a number"),
        ("weight = 60", "weight = 50", "line 28 (line)", "add up to 90 and must add up to 100"),
        ('sources = ["palate"]', 'sources = ["tongue"]', "line 23 (taste)", "'tongue'"),
        ('topics = ["burn-line"]', 'topics = ["ember"]', "line 30 (line)", "'ember'"),
        ('counts = ["touch_ups"]\nt', 'count = ["x"]\nt', "line 29 (line)", "no key 'count'"),
        ('topics = ["burn-line"]', "changes = 1", "line 30 (line)", "true or false"),
        ('spoken = ["taste"]', 'spoken = "taste"', "line 22 (taste)", "list of words"),
        ('name = "Burn line"', 'name = "Burn | line"', "line 27 (line)", "without |"),
        ('name = "Burn line"', 'name = "Burn\\u200bline"', "line 27 (line)", "cannot be seen"),
        ('name = "Burn line"', 'name = "Taste"', "line 27 (line)", "name 'Taste' stands twice"),
        ('name = "Burn line"', 'name = "tASTE"', "line 27 (line)", "name 'tASTE' stands twice"),
        ('id = "line"', 'id = "taste"', "line 26 (taste)", "id 'taste' stands twice"),
        ('id = "smoke"', 'id = ""', "line 15", "id must be one line of text"),
        ("[[section.row]]", "[[section.rows]]", "(smoke)", "no key 'rows'"),
        ("[[section]]", "[section]", "line 1", "[[section]]"),
        ("highest = 5", "highest = ", "line 7", "not valid TOML"),
        ("highest = 5", f"highest = {'9' * 5000}", "shelf.toml", "not valid TOML"),
        ('ask = "Did it burn level without help?"', 'ask = "', "line 37", "not valid TOML"),
        ('ask = "Did it', 'asks = "Did it', "line 37 (question 1)", "no key 'asks'"),
        ('rows = ["line"]', 'rows = ["lime"]', "line 33 (question 1)", "'lime'"),
        ("mark_from = 4.5", "mark_from = 6", "line 34 (question 1)", "mark of the scale"),
        ("at_least = 2", "at_least = 2.5", "line 36 (question 1)", "whole number"),
        ("at_least = 2\n", "", "line 35 (question 1)", "counts go with at_least"),
        ("at_least = 2", "at_least = 2\nsilent = true", "line 32 (question 1)", "only one"),
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


def test_sheet_example_of_the_docs_and_its_mistake() -> None:
    text = (Path(__file__).parents[2] / "docs" / "sheet.md").read_text("utf-8")
    found = re.search(r"```toml\n(format = .*?)```", text, re.S)
    assert found
    assert parse_sheet("shelf.toml", found[1]).weight == 100
    with pytest.raises(DataDamaged) as caught:
        parse_sheet("shelf.toml", found[1].replace("weight = 15", "weight = -15", 1))
    assert caught.value.message in text


@pytest.mark.parametrize("count", [1, 3, 6, 7, 12, 30])
def test_sheet_equal_rows_of_any_number_may_be_rounded(count: int) -> None:
    rows = "".join(
        f'[[section.row]]\nid = "r{n}"\nname = "Row {n}"\nweight = {100 / count:.3f}\n'
        for n in range(count)
    )
    head, _, _ = SMALL.partition("[[section.row]]")
    assert len(parse_sheet("shelf.toml", head + rows).rows) == count


@pytest.mark.parametrize(
    ("lowest", "highest", "step"),
    [
        ("0", "100", "1"),
        ("-3", "3", "0.5"),
        ("1", "2", "0.1"),
        ("0", "20", "0.25"),
        ("0", "1", "1"),
    ],
)
def test_sheet_scale_may_be_any(lowest: str, highest: str, step: str) -> None:
    text = SMALL.replace("lowest = 0", f"lowest = {lowest}").replace("step = 0.5", f"step = {step}")
    text = text.replace("highest = 5", f"highest = {highest}").partition("[[question]]")[0]
    text = text.replace('0 = "unsaleable"\n5 = "sells itself"\n', "")
    scale = parse_sheet("shelf.toml", text).scale
    assert (scale.lowest, scale.highest) == (float(lowest), float(highest))
    assert scale.step == float(step)


def test_sheet_line_is_found_behind_long_text_and_in_braces() -> None:
    long = SMALL.replace('name = "Shelf sheet"', 'name = """Shelf\\\n\n[[section]]\n[scale]\n"""')
    with pytest.raises(DataDamaged, match=r"line 3: name must be one line"):
        parse_sheet("shelf.toml", long)
    braces = SMALL.replace("[scale]\nlowest = 0\nhighest = 5\nstep = 0.5\n\n[scale.anchors]\n", "")
    braces = braces.replace('0 = "unsaleable"\n5 = "sells itself"\n', "")
    with pytest.raises(DataDamaged, match=r"line 4 \(scale\): step must be above 0"):
        parse_sheet(
            "shelf.toml",
            braces.replace(
                'name = "Shelf sheet"',
                'name = "Shelf sheet"\nscale = {lowest = 0, highest = 5, step = 0}',
                1,
            ),
        )


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
