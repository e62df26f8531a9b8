"""`ashdraft page`: the draft as it stands, in three kinds of file, beside what was edited."""

from __future__ import annotations

import base64
import io
import json
import wave
from dataclasses import replace
from pathlib import Path

import av
import pytest
from ashdraft.cli import app
from ashdraft.export import notes_json
from typer.testing import CliRunner

from tests.page.made import draft_of, saying, shown

SECONDS = 40


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A finished folder, and its recording beside it."""
    made = saying(["It opens with cedar.", "No harshness at all.", "A handful, not a box."])
    recording = replace(made.recordings[0], file="stick.wav", duration=float(SECONDS))
    made = replace(made, recordings=(recording,))
    with wave.open(str(tmp_path / "stick.wav"), "wb") as sound:
        sound.setparams((1, 2, 16000, 0, "NONE", ""))
        sound.writeframes(bytes(2 * 16000 * SECONDS))
    folder = tmp_path / "stick-draft"
    folder.mkdir()
    (folder / "draft.md").write_text(draft_of(made), encoding="utf-8")
    (folder / "notes.json").write_text(notes_json(made), encoding="utf-8")
    return folder


def page(*words: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["page", *map(str, words)])
    return result.exit_code, result.output


@pytest.mark.parametrize("named", ["", "draft.md", "notes.json"])
def test_page_takes_the_folder_or_a_file_of_it(folder: Path, named: str) -> None:
    code, out = page(folder / named)
    assert (code, out.strip()) == (0, str(folder / "draft.html"))
    made = shown((folder / "draft.html").read_text("utf-8"))
    first = made.all("a", class_="t")[0]
    assert first.attributes["href"] == "../stick.wav#t=1.0,5.0"


def test_page_shows_the_draft_as_it_stands(folder: Path) -> None:
    draft = folder / "draft.md"
    text = draft.read_text("utf-8")
    row = next(line for line in text.splitlines() if line.startswith("| Burn | Draw |"))
    marked = row.replace("| Draw | 8 |  |", "| Draw | 8 | 7 |")
    assert marked != row
    draft.write_text(text.replace(row, marked).replace("cedar", "juniper"), "utf-8")
    assert page(folder)[0] == 0
    made = shown((folder / "draft.html").read_text("utf-8"))
    assert [cell.text for cell in made.all("td", class_="mark")] == ["7"]
    assert "It opens with juniper." in made.text


def test_page_twice_is_the_same_and_an_edited_one_is_kept(folder: Path) -> None:
    page(folder)
    first = (folder / "draft.html").read_bytes()
    page(folder)
    assert (folder / "draft.html").read_bytes() == first
    (folder / "draft.html").write_text("mine")
    code, out = page(folder)
    assert code == 0
    assert "draft.html was edited and is left as it is" in out
    assert (folder / "draft.html").read_text() == "mine"
    assert (folder / "draft.new.html").read_bytes() == first
    page(folder, "--force")
    assert (folder / "draft.html").read_bytes() == first


def test_page_carries_clips_that_play(folder: Path) -> None:
    assert page(folder, "--clips")[0] == 0
    (data,) = shown((folder / "draft.html").read_text("utf-8")).all("script", id="clips")
    clips = json.loads(data.text)
    assert set(clips) == {"0", "1", "2"}
    for address in clips.values():
        sound = io.BytesIO(base64.b64decode(address.partition(";base64,")[2]))
        with av.open(sound) as media:
            # The sentence is 4 s long; MP3 frames and a breath before and behind are added.
            assert 4.0 <= media.duration / av.time_base <= 4.6


@pytest.mark.parametrize(
    ("kind", "sign"), [pytest.param("pdf", b"%PDF", marks=pytest.mark.slow), ("docx", b"PK")]
)
def test_page_as_documents(folder: Path, kind: str, sign: bytes) -> None:
    code, out = page(folder, "--format", kind)
    assert (code, out.strip()) == (0, str(folder / f"draft.{kind}"))
    assert (folder / f"draft.{kind}").read_bytes().startswith(sign)


def test_page_of_a_recording_that_was_moved(folder: Path, tmp_path: Path) -> None:
    moved = tmp_path / "phone" / "memo 7.wav"
    moved.parent.mkdir()
    (tmp_path / "stick.wav").rename(moved)
    assert page(folder, "--recording", moved)[0] == 0
    made = shown((folder / "draft.html").read_text("utf-8"))
    assert made.all("a", class_="t")[0].attributes["href"].startswith("../phone/memo%207.wav#t=")


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["gone"], 3, "gone does not exist"),
        (["{folder}", "--recording", "gone.m4a"], 3, "gone.m4a does not exist"),
        (["{folder}", "--clips", "--format", "pdf"], 2, "--clips needs --format html"),
        (["{folder}", "--format", "odt"], 2, "odt"),
    ],
)
def test_page_refuses(folder: Path, words: list[str], code: int, said: str) -> None:
    result = page(*(word.format(folder=folder) for word in words))
    assert result[0] == code
    assert said in result[1]


def test_page_without_a_draft_says_so(folder: Path) -> None:
    (folder / "draft.md").unlink()
    code, out = page(folder)
    assert code == 3
    assert "draft.md cannot be read" in out
    (folder / "draft.md").write_bytes(b"\xff\xfe\x00")
    assert "not UTF-8" in page(folder)[1]
