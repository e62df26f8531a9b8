"""A damaged table is refused with its line, and nothing is written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from ashdraft.errors import DataDamaged, InputMissing, UsageError
from ashdraft.tally import tally

from .made import folder, line_of, shelf, type_marks

TASTE = "| Smoke | Taste |"
Edit = Callable[[list[str], int], None]


def put(new: str) -> Edit:
    def edit(lines: list[str], n: int) -> None:
        lines[n] = new

    return edit


def swap(old: str, new: str) -> Edit:
    def edit(lines: list[str], n: int) -> None:
        assert old in lines[n]
        lines[n] = lines[n].replace(old, new, 1)

    return edit


def insert(new: str, below: int = 0) -> Edit:
    return lambda lines, n: lines.insert(n + below, new)


def copy_to_end(lines: list[str], n: int) -> None:
    lines.insert(n + 3, lines[n])


def double_table(lines: list[str], n: int) -> None:
    first = next(k for k in range(n, 0, -1) if lines[k].startswith("| Section |"))
    lines.extend(["", *lines[first : n + 3]])


@pytest.mark.parametrize(
    ("edit", "moved", "what"),
    [
        (swap("|  |", "| 4,5 |"), 0, "comma stands in the number"),
        (swap("|  |", "| 6 |"), 0, "6 is off the scale"),
        (swap("|  |", "| 4.2 |"), 0, "4.2 is no step"),
        (swap("|  |", "| ![4](x) |"), 0, "does not begin with a mark"),
        (swap("|  |", "| ~~4~~ |"), 0, "does not begin with a mark"),
        (swap("|  |", "| <!-- 4 --> |"), 0, "does not begin with a mark"),
        (swap("|  |", "| 4 | good |"), 0, "6 cells stand in this row, and the table has 5"),
        (swap("|  |", "| 4 "), 0, "4 cells stand in this row"),
        (swap("Taste", "Tastes"), 0, "no row of the sheet has this section and criterion"),
        (swap("Smoke", "Look"), 0, "no row of the sheet has this section and criterion"),
        (swap("40", "4"), 0, "the weight on the sheet is 40"),
        (copy_to_end, 3, "this row stands a second time"),
        (insert("| Smoke | Joy | 5 | 4 | |"), 0, "no row of the sheet"),
        (insert(""), 1, "cut off from the score table"),
        (insert("Some words."), 0, "read as a row of the score table"),
        (swap("| Smoke", "> | Smoke"), 0, "cut off from the score table"),
        (double_table, None, "the score table stands a second time"),
    ],
)
def test_table_damage_is_refused_with_its_line(
    tmp_path: Path, edit: Edit, moved: int | None, what: str
) -> None:
    path = folder(tmp_path / "s", shelf())
    lines = path.read_text("utf-8").split("\n")
    n = line_of(path, TASTE)
    edit(lines, n - 1)
    path.write_text("\n".join(lines), encoding="utf-8")
    before = [p.read_bytes() for p in (path, path.with_name("notes.json"))]
    with pytest.raises(DataDamaged, match=what) as caught:
        tally(path)
    if moved is not None:
        assert caught.value.message.startswith(f"draft.md, line {n + moved}")
    assert caught.value.next_step
    assert [p.read_bytes() for p in (path, path.with_name("notes.json"))] == before


def test_table_row_that_is_lost_is_named(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    kept = [x for x in path.read_text("utf-8").split("\n") if not x.startswith(TASTE)]
    path.write_text("\n".join(kept), encoding="utf-8")
    with pytest.raises(DataDamaged, match="the row Taste is missing") as caught:
        tally(path)
    assert f"line {line_of(path, '| Section |')}" in caught.value.message


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("| Section |", "|"),
        ("| Mark |", "| My Mark |"),
        ("| --- | --- | --- | --- | --- |\n| Look", "| --- | --- | --- | --- |\n| Look"),
        ("| --- | --- | --- | --- | --- |\n| Look", "| Look"),
    ],
)
def test_table_head_that_is_damaged_is_named(tmp_path: Path, old: str, new: str) -> None:
    path = folder(tmp_path / "s", shelf())
    written = path.read_text("utf-8")
    assert old in written
    line = line_of(path, "| Section |")
    path.write_text(written.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(DataDamaged, match="head of the score table is damaged") as caught:
        tally(path)
    assert f"line {line}" in caught.value.message


def test_draft_without_a_table_says_so(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    kept = [x for x in path.read_text("utf-8").split("\n") if not x.startswith("|")]
    path.write_text("\n".join(kept), encoding="utf-8")
    with pytest.raises(DataDamaged, match="no score table is found") as caught:
        tally(path)
    assert f"line {line_of(path, '## Score sheet')}" in caught.value.message


def test_faults_are_counted_and_the_first_is_named(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Wrapper": "x", "Taste": "9", "Trouble": "7,5"})
    with pytest.raises(DataDamaged, match=r"\(Wrapper\).* 2 more to mend below it"):
        tally(path)


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("[tally]: ", "tally ", "one is lost"),
        ("[tallied]: ", "tallied ", "one is lost"),
        ("*Total: open", "My words.\n\n*Total: open", "something was typed between"),
        ("[tallied]: ", "[tallied]: <#x> \"\"\n[tallied]: ", "one is lost or stands twice"),
        ("title: ", "title: [", "no valid YAML"),
        ("\n---\n", "\n", "not closed"),
    ],
)  # fmt: skip
def test_place_of_the_tally_that_is_damaged_is_refused(
    tmp_path: Path, old: str, new: str, what: str
) -> None:
    path = folder(tmp_path / "s", shelf())
    written = path.read_text("utf-8")
    assert old in written
    path.write_text(written.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(DataDamaged, match=what) as caught:
        tally(path)
    assert "line " in caught.value.message


def test_draft_that_is_no_text_names_the_line(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    path.write_bytes(b"one\r\ntwo\nthree \xff\n")
    with pytest.raises(DataDamaged, match="line 3"):
        tally(path)


def test_draft_or_notes_or_sheet_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputMissing):
        tally(tmp_path)
    path = folder(tmp_path / "s", shelf())
    next((tmp_path / "s" / ".ashdraft").glob("sheet-*.toml")).unlink()
    with pytest.raises(InputMissing, match=r"shelf\.toml") as caught:
        tally(path)
    assert "--sheet FILE" in caught.value.next_step
    own = tmp_path / "shelf.toml"
    own.write_text(shelf().text, encoding="utf-8")
    assert tally(path, sheet=own).changed
    path.with_name("notes.json").unlink()
    with pytest.raises(InputMissing, match=r"notes\.json"):
        tally(path, sheet=own)


def test_obtained_of_another_kind_is_refused(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    with pytest.raises(UsageError, match="found"):
        tally(path, obtained="found")


def test_close_with_a_blank_row_is_refused_with_its_line(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Wrapper": "4", "Roll": "-", "Taste": "3", "Trouble": "2"})
    with pytest.raises(DataDamaged, match=r"\(Finish\): 1 of 5 rows have no mark") as caught:
        tally(path, close=True)
    assert f"line {line_of(path, '| Smoke | Finish')}" in caught.value.message
