"""`ashdraft clips`: names, which quotes are cut, and the highlights."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path

import pytest
from ashdraft import session
from ashdraft.cli import app
from ashdraft.clips import Highlight, highlights
from ashdraft.clips.names import file_name
from ashdraft.model import Descriptor, MadeBy, Notes, Reading, Recording, Said, Utterance
from ashdraft.options import Options
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from tests.follow import cuts

SPOKEN = """WEBVTT

00:01.000 --> 00:04.000
The wrapper smells of cedar.

00:10.000 --> 00:13.000
The first third opens with white pepper.

00:20.000 --> 00:24.000
All in all I would smoke it again.
"""


# --- names -------------------------------------------------------------------------------


@given(st.lists(st.tuples(st.floats(0, 400_000), st.text(max_size=200)), max_size=20))
def test_names_are_safe_different_and_short(rows: list[tuple[float, str]]) -> None:
    """Letters that every file system takes (POSIX portable file names, without capitals)."""
    taken: set[str] = set()
    names = [file_name(start, words, ".mp3", taken) for start, words in rows]
    assert len(set(names)) == len(names)
    for name in names:
        assert re.fullmatch(r"\d+h\d\dm\d\ds(-[a-z0-9]+)*\.mp3", name)
        assert len(name) < 80


def test_names_tell_when_and_what() -> None:
    name = file_name(754.9, "It opens with crème brûlée, doesn't it?", ".mp3", set())
    assert name == "0h12m34s-it-opens-with-creme-brulee-doesnt-it.mp3"
    assert file_name(5, "שלום ../..", ".mp3", set()) == "0h00m05s.mp3"


# --- the command -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sound") / "raw.flac"
    return cuts.save(path, cuts.load(cuts.NARRATION, 0, 30), "flac", 16_000)


@pytest.fixture
def made(tmp_path: Path) -> Path:
    (tmp_path / "stick.vtt").write_text(SPOKEN)
    return session.write(Options(inputs=(tmp_path / "stick.vtt",), out=tmp_path / "out")).folder


def run(*arguments: object) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["clips", *map(str, arguments)])
    return result.exit_code, result.output


def test_every_sentence_in_the_draft_is_cut_and_no_other(made: Path, recording: Path) -> None:
    draft = made / "draft.md"
    text = draft.read_text("utf-8")
    draft.write_text(text.replace("The wrapper smells of cedar.", ""), "utf-8")
    code, output = run(made, "--recording", recording, "--loudness", "-16")
    assert code == 0
    assert "2 clips in" in output
    rows = json.loads((made / "clips" / "clips.json").read_text("utf-8"))["clips"]
    assert [row["start"] for row in rows] == pytest.approx([9.85, 19.85], abs=0.01)
    for row in rows:
        assert (made / "clips" / row["file"]).read_bytes()
        clip = cuts.load(made / "clips" / row["file"])
        assert len(clip) / 16_000 == pytest.approx(row["end"] - row["start"], abs=0.06)
    listed = json.loads((made / "clips" / "highlights.json").read_text("utf-8"))
    assert [h["why"] for h in listed["highlights"]]
    assert "white pepper" in (made / "clips" / "highlights.txt").read_text("utf-8")


def test_a_recording_that_is_missing_is_named(made: Path, tmp_path: Path) -> None:
    code, output = run(made)
    assert code == 2
    assert "--recording" in output
    assert run(made, "--recording", tmp_path / "none.wav")[0] == 3


@pytest.mark.parametrize("value", ["0", "3", "-99", "nan"])
def test_loudness_must_make_sense(made: Path, recording: Path, value: str) -> None:
    assert run(made, "--recording", recording, "--loudness", value)[0] == 2


def test_without_a_draft_there_is_nothing_to_cut(made: Path, recording: Path) -> None:
    (made / "draft.md").unlink()
    assert run(made, "--recording", recording)[0] == 3


def test_a_recording_that_is_too_short_is_refused(made: Path, tmp_path: Path) -> None:
    short = cuts.save(tmp_path / "s.flac", cuts.load(cuts.NARRATION, 0, 5), "flac", 16_000)
    assert run(made, "--recording", short)[0] == 4


# --- highlights --------------------------------------------------------------------------


@st.composite
def notes(draw: st.DrawFn) -> tuple[Notes, list[Said]]:
    now, said, utterances, descriptors = 0.0, [], [], []
    for number in range(draw(st.integers(0, 25))):
        now += draw(st.floats(0, 8))
        end = now + draw(st.floats(0.3, 45))
        section = draw(st.sampled_from(["palate", "burn", "verdict"]))
        said.append(Said(number, now, end, "x", "x", "x"))
        utterances.append(Utterance(number, now, end, "x", "x", "x", section, 2, None, 1.0))
        for term in draw(st.lists(st.sampled_from("abcdefgh"), max_size=2)):
            polarity = draw(st.sampled_from(["present", "absent"]))
            descriptors.append(
                Descriptor(term, "nut", polarity, "palate", "plain", section, 2, number, now, term)
            )
        now = end
    reading = Reading("live", tuple(utterances), tuple(descriptors))
    recording = Recording("raw.flac", "0" * 64, 0.0, now + 1)
    return Notes(MadeBy("0", None, "0", "0"), (recording,), reading), said


@given(notes())
def test_highlights_are_five_to_thirty_seconds_and_apart(made: tuple[Notes, list[Said]]) -> None:
    whole, said = made
    found = highlights(whole, said)
    length = whole.recordings[0].duration
    assert len(found) <= 12
    for one in found:
        assert min(5.0, length) - 0.01 <= one.end - one.start <= 30.01
        assert one.start >= 0
        assert one.end <= length + 0.01
    assert all(a.end <= b.start for a, b in pairwise(found))


def test_a_note_is_new_once_and_the_verdict_is_there() -> None:
    rows = [
        ("palate", 1, "cedar", "present"),
        ("palate", 2, "cedar", "present"),
        ("palate", 2, "tamarind", "absent"),
        ("palate", 3, "espresso", "present"),
        ("verdict", None, None, None),
    ]
    said = [Said(i, 60.0 * i, 60.0 * i + 8, "x", "x", "x") for i in range(len(rows))]
    utterances = tuple(
        Utterance(i, u.start, u.end, "x", "x", "x", section, third, None, 1.0)
        for i, (u, (section, third, _, _)) in enumerate(zip(said, rows, strict=True))
    )
    descriptors = tuple(
        Descriptor(term, "wood", polarity, "palate", "plain", "palate", third, i, 60.0 * i, term)
        for i, (_, third, term, polarity) in enumerate(rows)
        if term
    )
    whole = Notes(
        MadeBy("0", None, "0", "0"),
        (Recording("raw.flac", "0" * 64, 0.0, 400.0),),
        Reading("live", utterances, descriptors),
    )
    assert highlights(whole, said) == (
        Highlight(0.0, 8.0, "New in the first third: cedar", (0,)),
        Highlight(180.0, 188.0, "New in the final third: espresso", (3,)),
        Highlight(240.0, 248.0, "Verdict", (4,)),
    )
