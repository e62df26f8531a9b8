"""File names as file systems allow them, through the whole chain; and no network."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
import yaml
from ashdraft.options import Options
from ashdraft.output import default_folder
from ashdraft.session import write

from tests.needs import need

SPOKEN = "WEBVTT\n\n01:00.000 --> 01:04.000\nLit.\n\n02:00.000 --> 02:04.000\nCedar, a lot of it.\n"

NAMES = (
    "a\nb.vtt",
    "'; rm -rf ~ #\".vtt",
    "-rf.vtt",
    "--out.vtt",
    "$(reboot)`x`.vtt",
    "\x1b[31m\x07.vtt",
    "\u202etxt.vtt",
    "日本語 と عربي.vtt",
    "e\u0301\U0001f525.vtt",
    "<img src=x onerror=alert(1)>.vtt",
    "--- - {a: b}.vtt",
    "[x](javascript:1)|*_`.vtt",
    "...vtt.vtt",
    "x" * 251 + ".vtt",
    "火" * 83 + ".vtt",
    os.fsdecode(b"\xff\xfe.vtt"),
)


@pytest.mark.skipif(os.name == "nt", reason="names that POSIX allows")
@pytest.mark.parametrize("number", range(len(NAMES)))
def test_any_name_goes_through_the_chain_as_text(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = NAMES[number]
    monkeypatch.chdir(tmp_path)
    Path(name).write_text(SPOKEN)
    result = write(Options((Path(name),)))
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([name, result.folder.name])
    for file in result.files:
        text = file.path.read_text("utf-8")
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text)
        if file.path.suffix == ".html":
            assert "<img" not in text
    _, front, body = result.draft.read_text("utf-8").split("---\n", 2)
    assert yaml.safe_load(front)["recordings"]
    assert "<img" not in body


@pytest.mark.skipif(os.name == "nt", reason="names that POSIX allows")
def test_longest_name_has_a_folder_that_fits(tmp_path: Path) -> None:
    for name in ("x" * 251 + ".wav", "火" * 83 + ".wav"):
        folder = default_folder([tmp_path / name])
        assert len(os.fsencode(folder.name)) <= 255
        assert folder.name.endswith("-draft")
        folder.mkdir()


def test_name_with_a_leading_dash_is_taken_after_a_double_dash(tmp_path: Path) -> None:
    (tmp_path / "--force").write_text("")
    (tmp_path / "-x.vtt").write_text(SPOKEN)
    done = subprocess.run(
        [sys.executable, "-m", "ashdraft", "write", "--", "-x.vtt"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "-x-draft/draft.md").exists()


@pytest.mark.slow
def test_chain_runs_where_there_is_no_network_at_all(tmp_path: Path) -> None:
    """In a network namespace of its own, in which not even this machine can be reached."""
    able = (
        sys.platform == "linux"
        and not subprocess.run(
            ["unshare", "-rn", "true"], capture_output=True, check=False
        ).returncode
    )
    need(able, "unshare -rn (util-linux)")
    done = subprocess.run(
        ["unshare", "-rn", sys.executable, "-m", "ashdraft", "demo", str(tmp_path / "demo"),
         "--model", "tiny.en"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "demo/draft.md").exists()
