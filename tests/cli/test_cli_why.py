"""`ashdraft why`: the sentence, its place, and what weighed most."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.cli import app
from ashdraft.options import Options
from ashdraft.session import write
from typer.testing import CliRunner

CUES = [
    ("00:00:01.000", "00:00:04.000", "It's a toro, six by fifty-two, made in Nicaragua."),
    ("00:00:06.000", "00:00:09.000", "The ash is pale grey and the burn line is straight."),
    ("00:00:11.000", "00:00:14.000", "In the second third I get leather and cocoa."),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("why")
    text = "WEBVTT\n\n" + "\n".join(f"{a} --> {b}\n{words}\n" for a, b, words in CUES)
    (home / "notes.vtt").write_text(text, encoding="utf-8")
    return write(Options((home / "notes.vtt",), out=home / "out")).folder


def test_why_explains_the_sentence_said_then(folder: Path) -> None:
    done = CliRunner().invoke(app, ["why", str(folder), "0:07"])
    assert done.exit_code == 0, done.stderr
    first, second, *reasons = done.stdout.splitlines()
    assert first == "0:06  The ash is pale grey and the burn line is straight."
    assert second.startswith("section     burn")
    assert any("ash" in reason for reason in reasons)


def test_why_names_the_third_and_its_basis(folder: Path) -> None:
    done = CliRunner().invoke(app, ["why", str(folder / "notes.json"), "12.5"])
    assert "palate, third 2 (said)" in done.stdout


@pytest.mark.parametrize(
    ("notes", "at", "code", "says"),
    [("", "noon", 2, "'noon' is no time"), ("nowhere.json", "0:07", 3, "cannot be read")],
)
def test_why_says_what_to_type_next(
    folder: Path, notes: str, at: str, code: int, says: str
) -> None:
    done = CliRunner().invoke(app, ["why", str(folder / notes), at])
    assert done.exit_code == code
    assert says in done.stderr
    assert done.stdout == ""
