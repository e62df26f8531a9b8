"""`ashdraft pool` as it is typed."""

from __future__ import annotations

from pathlib import Path

from ashdraft.cli import app
from typer.testing import CliRunner


def test_the_summary_and_what_to_check(folders: tuple[Path, ...], tmp_path: Path) -> None:
    out = tmp_path / "ledger"
    done = CliRunner().invoke(app, ["pool", *map(str, folders), "--out", str(out)])
    assert done.exit_code == 0
    assert "6 x 52 (152 x 20.6 mm): sticks 1, 2 and 3" in done.stdout
    assert "Touched up     2 of 3 sticks, 21 to 94 %" in done.stdout
    assert f"Open next        {out / 'pooled.md'}" in done.stdout
    assert "No typed marks for sticks 1, 2 and 3" in done.stderr
    assert {p.name for p in out.iterdir()} >= {"pooled.md", "pooled-sheet.md", "pooled.json"}


def test_two_cigars_end_with_usage_and_a_way_on(folders: tuple[Path, ...], tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["pool", str(folders[0])])
    assert done.exit_code == 2
    assert "Name two or more" in done.stderr


def test_it_is_written_beside_the_first_session(folders: tuple[Path, ...]) -> None:
    done = CliRunner().invoke(app, ["pool", f"{folders[0]}@Ines", str(folders[1])])
    assert done.exit_code == 0
    assert (folders[0].with_name("stick1-pooled") / "pooled.md").is_file()
