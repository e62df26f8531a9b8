"""What people give by mistake: the right exit code, the file's name, no traceback, no harm."""

from __future__ import annotations

import wave
from pathlib import Path

import pytest
from ashdraft.cli import app
from typer.testing import CliRunner

VTT = "WEBVTT\n\n00:01.000 --> 00:02.000\nLit.\n"


def sound(path: Path, seconds: float) -> None:
    """Write digital silence: 16-bit mono at 16 kHz."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16_000)
        file.writeframes(bytes(int(seconds * 32_000)))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "empty.wav").touch()
    (tmp_path / "letter.mp3").write_text("Dear diary, no sound here.\n" * 50)
    (tmp_path / "notes.json").write_text('{"format": "elsewhere"}')
    (tmp_path / "cues.srt").write_text("no cues here\n")
    (tmp_path / "good.vtt").write_text(VTT)
    (tmp_path / "taken").write_text("a file")
    (tmp_path / "sheet.toml").write_text("not = [a sheet")
    (tmp_path / "hollow").mkdir()
    sound(tmp_path / "silence.wav", 3.0)
    sound(tmp_path / "click.wav", 0.3)
    return tmp_path


@pytest.mark.parametrize(
    ("arguments", "code", "names"),
    [
        ("gone.wav", 3, "gone.wav"),
        ("hollow", 3, "hollow"),
        ("empty.wav", 4, "empty.wav"),
        ("letter.mp3", 4, "letter.mp3"),
        ("silence.wav", 6, "silence.wav"),
        ("click.wav", 6, "click.wav"),
        ("silence.wav --model hollow", 7, "hollow"),
        ("silence.wav --model no/such/folder", 7, "no/such/folder"),
        ("good.vtt --out taken", 9, "taken"),
        ("good.vtt --out taken/deeper", 9, "taken"),
        ("notes.json", 10, "notes.json"),
        ("cues.srt", 10, "cues.srt"),
        ("good.vtt --sheet sheet.toml", 11, "sheet.toml"),
        ("good.vtt --sheet gone.toml", 3, "gone.toml"),
        ("good.vtt --facts gone.toml", 3, "gone.toml"),
        ("good.vtt silence.wav", 2, ""),
    ],
)
def test_mistake_has_its_code_and_names_the_file(
    folder: Path, arguments: str, code: int, names: str
) -> None:
    before = {p: p.read_bytes() for p in folder.iterdir() if p.is_file()}
    done = CliRunner().invoke(app, ["write", *arguments.split()])
    assert done.exit_code == code, done.output
    message, _, next_step = done.stderr.rpartition("\n  ")
    assert names in message
    assert next_step.strip()
    assert "Traceback" not in done.output
    assert done.stdout == ""
    assert {p: p.read_bytes() for p in before} == before
