"""`ashdraft chapters` on a folder that `ashdraft write` has made of a transcript."""

from __future__ import annotations

import hashlib
import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from ashdraft import session
from ashdraft.chapters import FORMATS
from ashdraft.cli import app
from ashdraft.export import notes_json, read_notes
from ashdraft.model import Recording
from ashdraft.options import Options
from click.testing import Result
from typer.testing import CliRunner

from tests.chapters.made import ffprobe_chapters
from tests.intake.media import Kind, bursts, write_media

LINES = (
    (2, "Good evening, this is the Brass Heron."),
    (15, "It is a corona gorda with a wrapper from Ecuador."),
    (40, "The wrapper is dark and oily and the seams are neat."),
    (60, "The cold draw gives hay and raisin."),
    (80, "The first third opens with white pepper and cedar."),
    (110, "The second third turns to tamarind and espresso."),
    (140, "The final third is all dark chocolate."),
    (170, "The burn was even and I touched it up once."),
    (200, "I would drink a stout with it."),
    (220, "The verdict: I would buy a box."),
)


def clock(seconds: float) -> str:
    return f"{int(seconds) // 3600:02}:{int(seconds) // 60 % 60:02}:{seconds % 60:06.3f}"


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("written")
    cues = (f"{clock(at)} --> {clock(at + 4)}\n{text}\n" for at, text in LINES)
    (folder / "heron.vtt").write_text("WEBVTT\n\n" + "\n".join(cues))
    session.write(Options(inputs=(folder / "heron.vtt",), out=folder / "draft"))
    return folder / "draft"


@pytest.fixture
def folder(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(written, tmp_path / "draft"))


def call(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["chapters", *map(str, arguments)])


def test_write_leaves_a_description_and_a_list(written: Path) -> None:
    text = (written / "chapters.txt").read_text()
    assert text.startswith("0:00 ")
    assert "\n1:19 First third: white pepper, cedar\n" in text
    assert "\n1:49 Second third: tamarind, espresso\n" in text
    assert (
        "\n1:49.600 Second third: tamarind, espresso\n"
        in (written / "chapters.edit.txt").read_text()
    )


def test_every_format_at_once(folder: Path) -> None:
    done = call(folder / "notes.json", "--format", "all", "--fps", "29.97df")
    assert done.exit_code == 0, done.output
    assert done.stdout == (folder / "chapters.txt").read_text()
    names = {p.name for p in folder.glob("chapters*")}
    assert len(names) == len(FORMATS) + 1
    assert all(name in done.stderr for name in names)
    assert "tamarind" not in done.stderr
    before = {p.name: p.read_bytes() for p in folder.glob("chapters*")}
    assert call(folder, "--format", "all", "--fps", "29.97df").exit_code == 0
    assert {p.name: p.read_bytes() for p in folder.glob("chapters*")} == before


def test_edited_list_is_what_counts_and_is_never_lost(folder: Path) -> None:
    path = folder / "chapters.edit.txt"
    mine = path.read_text().replace("Second third: tamarind, espresso", "The good part")
    path.write_text(mine)
    done = call(folder, "--format", "description", "--format", "podcast")
    assert "\n1:49 The good part\n" in done.stdout
    assert "The good part" in (folder / "chapters.json").read_text()
    assert path.read_text() == mine
    assert call(folder).stdout == (folder / "chapters.txt").read_text()
    assert not (folder / "chapters.edit.new.txt").exists()
    path.unlink()
    assert "The good part" not in call(folder).stdout
    assert "Second third" in path.read_text()


def test_writing_again_leaves_the_edited_list_and_what_it_made(folder: Path, written: Path) -> None:
    path = folder / "chapters.edit.txt"
    path.write_text("0:00 Mine\n1:00 Of\n2:00 Me\n")
    call(folder)
    description = (folder / "chapters.txt").read_text()
    session.write(Options(inputs=(written.parent / "heron.vtt",), out=folder))
    assert path.read_text() == "0:00 Mine\n1:00 Of\n2:00 Me\n"
    assert (folder / "chapters.txt").read_text() == description == path.read_text()
    assert "First third" in (folder / "chapters.edit.new.txt").read_text()


def test_mistake_in_the_list_ends_with_its_line_and_changes_nothing(folder: Path) -> None:
    before = (folder / "chapters.txt").read_text()
    (folder / "chapters.edit.txt").write_text("0:00 A\nsoon B\n")
    done = call(folder)
    assert done.exit_code == 11
    assert "chapters.edit.txt: line 2" in done.stderr
    (folder / "chapters.edit.txt").write_bytes(b"0:00 caf\xe9\n")
    assert call(folder).exit_code == 11
    assert (folder / "chapters.txt").read_text() == before


def test_offset_moves_everything(folder: Path) -> None:
    done = call(folder, "--starts-at", "00:01:12", "--format", "webvtt")
    assert done.stdout.startswith("0:00 Opening\n1:13 ")
    assert "00:03:01.600 --> " in (folder / "chapters.vtt").read_text()
    cut = call(folder, "--starts-at=-1:15", "--format", "webvtt")
    assert "00:00:00.000 --> 00:00:04.600\nBefore lighting" in (folder / "chapters.vtt").read_text()
    assert cut.exit_code == 0


@pytest.mark.parametrize(
    "arguments",
    [("--starts-at", "soon"), ("--out", "x.mp4"), ("--fps", "23"), ("--format", "word")],
)
def test_what_cannot_be_used_is_told(folder: Path, arguments: tuple[str, str]) -> None:
    assert call(folder, *arguments).exit_code == 2


def test_missing_folder_and_file(folder: Path, tmp_path: Path) -> None:
    assert call(tmp_path / "none").exit_code == 3
    assert call(tmp_path).exit_code == 3
    assert call(folder, "--into", tmp_path / "none.mp4").exit_code == 3


def test_copy_of_a_video(folder: Path, tmp_path: Path) -> None:
    video = tmp_path / "talk.m4a"
    write_media(video, bursts(44_100, (), 5.0), Kind("m4a", "aac", 44_100))
    total = hashlib.sha256(video.read_bytes()).hexdigest()
    done = call(folder, "--into", video, "--starts-at=-1:48")
    assert done.exit_code == 0, done.output
    assert [(c.start, c.title) for c in ffprobe_chapters(tmp_path / "talk.chapters.m4a")] == [
        (0, "First third: white pepper, cedar"),
        (1_600, "Second third: tamarind, espresso"),
    ]
    assert hashlib.sha256(video.read_bytes()).hexdigest() == total
    assert call(folder, "--into", video).exit_code == 9
    assert call(folder, "--into", video, "--force").exit_code == 0


def test_one_recording_of_two_gets_its_own_chapters(folder: Path, tmp_path: Path) -> None:
    clip = tmp_path / "two.m4a"
    write_media(clip, bursts(44_100, (), 40.0), Kind("m4a", "aac", 44_100))
    total = hashlib.sha256(clip.read_bytes()).hexdigest()
    path = folder / "notes.json"
    notes = read_notes(path.read_text())
    both = (Recording("one.m4a", "0" * 64, 0.0, 100.0), Recording("two.m4a", total, 105.0, 40.0))
    path.write_text(notes_json(replace(notes, recordings=both)))
    done = call(folder, "--into", clip, "--format", "podcast")
    assert done.exit_code == 0, done.output
    assert [(c.start, c.title[:12]) for c in ffprobe_chapters(tmp_path / "two.chapters.m4a")] == [
        (0, "First third:"),
        (4_600, "Second third"),
        (34_600, "Final third:"),
    ]
    assert (104.6 in starts(folder), 109.6 in starts(folder, "--keep-gaps")) == (True, True)


def starts(folder: Path, *more: str) -> list[float]:
    assert call(folder, "--format", "podcast", *more).exit_code == 0
    document = json.loads((folder / "chapters.json").read_text())
    return [c["startTime"] for c in document["chapters"]]
