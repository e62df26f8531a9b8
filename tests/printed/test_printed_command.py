"""`ashdraft sheet`: two files of one page, none of them over a file that is another."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.cli import app
from pypdf import PdfReader
from typer.testing import CliRunner


def sheet(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["sheet", *map(str, words)])
    return result.exit_code, result.output


def test_sheet_writes_both_kinds_and_names_them(tmp_path: Path) -> None:
    code, out = sheet(tmp_path / "prints")
    files = [tmp_path / "prints" / f"score-sheet-a4.{kind}" for kind in ("pdf", "html")]
    assert (code, out.split()) == (0, [str(file) for file in files])
    assert len(PdfReader(files[0]).pages) == 1
    assert files[1].read_text("utf-8").startswith("<!doctype html>")
    assert sorted(p.name for p in files[0].parent.iterdir()) == sorted(f.name for f in files)


def test_sheet_paper_and_kind(tmp_path: Path) -> None:
    assert sheet(tmp_path, "--paper", "letter", "--format", "html")[0] == 0
    assert [p.name for p in tmp_path.iterdir()] == ["score-sheet-letter.html"]


def test_sheet_again_is_the_same_and_another_file_is_kept(tmp_path: Path) -> None:
    sheet(tmp_path, "--format", "html")
    file = tmp_path / "score-sheet-a4.html"
    first = file.read_bytes()
    assert sheet(tmp_path, "--format", "html")[0] == 0
    file.write_text("mine")
    code, out = sheet(tmp_path, "--format", "html")
    assert code == 9
    assert "--force" in out
    assert file.read_text() == "mine"
    assert sheet(tmp_path, "--format", "html", "--force")[0] == 0
    assert file.read_bytes() == first


@pytest.mark.parametrize(
    ("words", "code"),
    [(["--sheet", "gone.toml"], 3), (["--paper", "a5"], 2), (["--format", "x"], 2)],
)
def test_sheet_refuses(tmp_path: Path, words: list[str], code: int) -> None:
    assert sheet(tmp_path, *words)[0] == code
    assert not list(tmp_path.iterdir())


def test_sheet_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    code, out = sheet(tmp_path / "file" / "below", "--format", "html")
    assert code == 9
    assert "cannot be written" in out
