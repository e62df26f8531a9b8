"""`ashdraft pool` as it is typed."""

from __future__ import annotations

import json
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


def test_no_spoken_word_goes_to_stderr(folders: tuple[Path, ...], tmp_path: Path) -> None:
    names = []
    for n, leaf in enumerate(("Connecticut", "Corojo")):
        document = json.loads((folders[n] / "notes.json").read_text("utf-8"))
        document["facts"]["wrapper"] = leaf
        path = tmp_path / f"stick{n}.json"
        path.write_text(json.dumps(document), "utf-8")
        names.append(str(path))
    done = CliRunner().invoke(app, ["pool", *names, "--out", str(tmp_path / "out")])
    assert done.exit_code == 0
    assert "Corojo" not in done.stderr
    draft = (tmp_path / "out" / "pooled.md").read_text("utf-8")
    assert "The wrapper differs: Connecticut (stick 1), Corojo (stick 2)." in draft


def test_it_is_written_beside_the_first_session(folders: tuple[Path, ...]) -> None:
    done = CliRunner().invoke(app, ["pool", f"{folders[0]}@Ines", str(folders[1])])
    assert done.exit_code == 0
    assert (folders[0].with_name("stick1-pooled") / "pooled.md").is_file()
