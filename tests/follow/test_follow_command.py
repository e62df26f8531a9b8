"""`ashdraft follow`, from a transcript and a sound to captions in the cut's time."""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt
from ashdraft import session
from ashdraft.assemble import read_times
from ashdraft.cli import app
from ashdraft.export import read_folder
from ashdraft.options import Options
from typer.testing import CliRunner

from tests.follow import cuts

LINES = {
    6.0: "The wrapper smells of cedar and hay.",
    16.0: "The cold draw gives a little black tea.",
    26.0: "The first third opens with white pepper.",
    36.0: "All in all I would gladly smoke it again.",
}


def transcript() -> str:
    cues = [f"00:{at:06.3f} --> 00:{at + 4:06.3f}\n{text}\n" for at, text in LINES.items()]
    return "\n".join(["WEBVTT\n", *cues])


@pytest.fixture(scope="module")
def raw() -> cuts.Sound:
    return cuts.load(cuts.NARRATION, 0, 45)


@pytest.fixture(scope="module")
def place(raw: cuts.Sound, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a recording, a draft made from it, and the cut: 24 to 42 s, then 4 to 14 s."""
    folder = tmp_path_factory.mktemp("follow")
    (folder / "stick.vtt").write_text(transcript())
    session.write(Options(inputs=(folder / "stick.vtt",), out=folder / "draft"))
    cuts.save(folder / "raw.flac", raw, "flac", 16_000)
    sound, _ = cuts.assemble(raw, [(24.0, 42.0), (4.0, 14.0)])
    cuts.save(folder / "final.m4a", cuts.with_music(sound, 6), "aac", 44_100)
    return folder


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["follow", *map(str, arguments)])
    return result.exit_code, result.output


def test_captions_chapters_and_quotes_lie_in_the_cut(place: Path) -> None:
    code, output = run(place / "draft", place / "final.m4a", "--recording", place / "raw.flac")
    assert code == 0, output
    assert "3 in the video; 1 did not make it" in output
    made = place / "final-cut"
    starts = {
        " ".join(c.text.split()): c.start_in_seconds
        for c in webvtt.read(str(made / "captions.vtt"))
    }
    expected = {LINES[26.0]: 2.0, LINES[36.0]: 12.0, LINES[6.0]: 20.0}
    for text, start in expected.items():
        assert abs(starts[text] - start) < 1  # webvtt-py counts whole seconds here
    folder = read_folder(made)
    assert [u.start for u in folder.said] == pytest.approx(list(expected.values()), abs=0.3)
    times = read_times((made / "draft.md").read_text("utf-8"))
    assert {round(t.start) for t in times} == {2, 12, 20}
    assert CliRunner().invoke(app, ["captions", str(made)]).exit_code == 0
    assert CliRunner().invoke(app, ["chapters", str(made)]).exit_code == 0


def test_edited_files_are_kept(place: Path, tmp_path: Path) -> None:
    arguments = (
        place / "draft",
        place / "final.m4a",
        "--recording",
        place,
        "--out",
        tmp_path / "o",
    )
    assert run(*arguments)[0] == 2  # notes of a transcript do not name the recording
    named = (*arguments[:3], place / "raw.flac", *arguments[4:])
    assert run(*named)[0] == 0
    (tmp_path / "o" / "captions.srt").write_text("mine")
    code, output = run(*named)
    assert (code, "captions.srt was edited" in output) == (0, True)
    assert (tmp_path / "o" / "captions.srt").read_text() == "mine"


def test_the_recording_s_own_folder_is_left_alone(place: Path) -> None:
    before = (place / "draft" / "notes.json").read_bytes()
    code, output = run(place / "draft", place / "final.m4a", "--out", place / "draft")
    assert (code, "--out FOLDER" in output) == (2, True)
    assert (place / "draft" / "notes.json").read_bytes() == before


def test_what_cannot_be_used_is_named(place: Path, tmp_path: Path) -> None:
    raw = ("--recording", place / "raw.flac")
    other = cuts.save(tmp_path / "other.flac", cuts.load(cuts.LIVE, 230, 250), "flac", 16_000)
    for code, arguments in [
        (2, (place / "draft", other, *raw)),
        (3, (place / "draft", tmp_path / "none.mp4", *raw)),
        (4, (place / "draft", place / "stick.vtt", *raw)),
        (3, (place / "draft", place, *raw)),
        (3, (place / "draft", place / "final.m4a", "--recording", tmp_path / "none.wav")),
        (2, (place / "draft", place / "final.m4a")),
        (3, (tmp_path, place / "final.m4a", *raw)),
    ]:
        assert run(*arguments, "--out", tmp_path / "out")[0] == code
    assert not (tmp_path / "out").exists()
