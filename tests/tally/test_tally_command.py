"""The command: what it prints and where, its exit codes, and that it keeps the folder to itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.cli import app
from ashdraft.output import open_folder
from ashdraft.sheet.load import parse_sheet
from typer.testing import CliRunner

from .made import folder, shelf, type_marks

ALL = {"Wrapper": "4.5", "Roll": "3", "Taste": "4", "Finish": "-", "Trouble": "2.5"}
RUN = CliRunner()


def test_command_prints_totals_and_writes_them(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, ALL)
    done = RUN.invoke(app, ["tally", str(path)])
    assert done.exit_code == 0
    lines = [line.split() for line in done.stdout.splitlines() if line]
    assert ["In", "all", "4", "of", "5,", "1", "not", "judged", "85", "3.62"] in lines
    assert "Not judged: Finish" in done.stdout
    assert "draft.md: written" in done.stderr
    assert "| In all | 4 of 5, 1 not judged | 85 | 3.62 |" in path.read_text("utf-8")
    again = RUN.invoke(app, ["tally", str(path.parent)])
    assert "nothing has changed" in again.stderr
    assert again.stdout == done.stdout


def test_names_stand_on_the_terminal_as_they_were_typed(tmp_path: Path) -> None:
    plain = parse_sheet("own.toml", shelf().text.replace('"Look"', '"Look & <touch>"'))
    path = folder(tmp_path / "s", plain)
    done = RUN.invoke(app, ["tally", str(path)])
    assert "Look & <touch>  " in done.stdout
    type_marks(path, {"Wrapper": "4.5"})
    RUN.invoke(app, ["tally", str(path)])
    assert "| Look &amp; &lt;touch&gt; | 1 of 2 |" in path.read_text("utf-8")


@pytest.mark.parametrize("text", ["", "WEBVTT\n\n00:00.000 --> 00:01.000\nHello.\n"])
def test_file_that_is_no_draft_is_said_to_hold_no_table(tmp_path: Path, text: str) -> None:
    other = tmp_path / "talk.vtt"
    other.write_text(text, encoding="utf-8")
    done = RUN.invoke(app, ["tally", str(other)])
    assert done.exit_code == 11
    assert f"talk.vtt, line {max(text.count(chr(10)), 1)}: no score table" in done.stderr


@pytest.mark.parametrize(
    ("marks", "arguments", "code", "words"),
    [
        ({"Taste": "4,5"}, [], 11, "draft.md, line 123 (Taste): a comma stands in the number."),
        ({}, ["--close"], 11, "5 of 5 rows have no mark"),
        ({}, ["--obtained", "found"], 2, "bought or gifted or sample"),
        ({}, ["--sheet", "none.toml"], 3, "none.toml"),
    ],
)
def test_command_fails_with_a_code_and_what_to_type(
    tmp_path: Path, marks: dict[str, str], arguments: list[str], code: int, words: str
) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, marks)
    done = RUN.invoke(app, ["tally", str(path), *arguments])
    assert done.exit_code == code
    assert words in done.stderr
    assert done.stdout == ""


def test_command_waits_for_no_other_run(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    with open_folder(path.parent):
        done = RUN.invoke(app, ["tally", str(path)])
    assert done.exit_code == 9
    assert "Another run" in done.stderr


def test_draft_outside_a_folder_of_ours_leaves_none_behind(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    own = tmp_path / "shelf.toml"
    own.write_text(shelf().text, encoding="utf-8")
    for name in ("draft.md", "notes.json"):
        (tmp_path / name).write_bytes((path.parent / name).read_bytes())
    done = RUN.invoke(app, ["tally", str(tmp_path / "draft.md"), "--sheet", str(own)])
    assert done.exit_code == 0
    assert not (tmp_path / ".ashdraft").exists()
