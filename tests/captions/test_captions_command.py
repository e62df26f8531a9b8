"""`ashdraft captions`: a finished folder's captions once more."""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt
from ashdraft import session
from ashdraft.captions import Shown, lines_to_show
from ashdraft.cli import app
from ashdraft.model import Said
from ashdraft.options import Options
from typer.testing import CliRunner

SPOKEN = """WEBVTT

00:01.000 --> 00:04.000
Uh, the wrapper, the wrapper smells of cedar.

00:30.000 --> 00:32.000
Get down, dog, get down off the table.

00:33.000 --> 00:36.000
The first third opens with white pepper.
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("captions")
    (folder / "stick.vtt").write_text(SPOKEN)
    return session.write(Options(inputs=(folder / "stick.vtt",), out=folder / "out")).folder


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["captions", *map(str, arguments)])
    return result.exit_code, result.output


def shown(folder: Path) -> list[str]:
    vtt = [" ".join(c.text.split()) for c in webvtt.read(str(folder / "captions.vtt"))]
    srt = [" ".join(c.text.split()) for c in webvtt.from_srt(str(folder / "captions.srt"))]
    assert vtt == srt
    return vtt


def test_reads_folder_draft_or_notes_and_says_where_captions_went(made: Path) -> None:
    for path in (made, made / "draft.md", made / "notes.json"):
        code, output = run(path)
        assert (code, output.count("captions in")) == (0, 2)
    assert "The wrapper smells of cedar." in " ".join(shown(made))


def test_verbatim_keeps_hesitations(made: Path) -> None:
    assert run(made, "--verbatim")[0] == 0
    assert "Uh, the wrapper, the wrapper smells of cedar." in " ".join(shown(made))
    assert run(made)[0] == 0
    assert "Uh" not in " ".join(shown(made))


def test_edited_captions_are_kept(made: Path) -> None:
    path = made / "captions.srt"
    path.write_text("mine")
    try:
        code, output = run(made)
        assert code == 0
        assert "captions.new.srt (captions.srt was edited and is left as it is)" in output
        assert path.read_text() == "mine"
        assert run(made, "--force")[0] == 0
        assert path.read_text() != "mine"
    finally:
        (made / "captions.new.srt").unlink(missing_ok=True)


@pytest.mark.parametrize("value", ["0", "-3", "nan", "inf", "2.9"])
def test_pauses_must_leave_room_for_a_line(made: Path, value: str) -> None:
    assert run(made, "--pauses", value)[0] == 2


def test_a_folder_without_notes_is_named(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none", tmp_path / "other.json"):
        assert run(path)[0] == 3
    (tmp_path / "notes.json").write_text("{}")
    assert run(tmp_path)[0] == 10


def one(number: int, start: float, end: float) -> Said:
    return Said(number, start, end, "x", "x", "x")


def test_asides_are_left_out_on_request() -> None:
    lines = [one(0, 0, 1), one(1, 2, 3)]
    kept = lines_to_show(lines, {0: "aside", 1: "palate"}, Shown(asides=False))
    assert [u.id for u in kept] == [1]
    assert lines_to_show(lines, {0: "aside"}, Shown()) == tuple(lines)


def test_pauses_are_between_utterances_whether_shown_or_not() -> None:
    lines = [one(0, 0, 10), one(1, 2, 5), one(2, 50, 51), one(3, 52, 53), one(4, 253, 254)]
    made = lines_to_show(lines, {2: "aside"}, Shown(asides=False, pauses=20))
    pauses = [(u.start, u.text) for u in made if u.id < 0]
    assert pauses == [(11.0, "[40 seconds without speech]"), (54.0, "[3 minutes without speech]")]
