"""A session opened from files and folders."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from ashdraft.errors import InputMissing, NotMedia, UsageError
from ashdraft.intake import open_session

from .media import Kind, bursts, write_media

M4A = Kind("m4a", "aac", 16_000)
WAV = Kind("wav", "pcm_s16le", 16_000)
VTT = "WEBVTT\n\n00:01.000 --> 00:02.000\nCedar.\n"


def clip(path: Path, seconds: float, recorded: str | None = None) -> Path:
    kind = M4A if path.suffix == ".m4a" else WAV
    tags = {"creation_time": recorded} if recorded else {}
    # Each clip has a length of its own, so that no two hold the same bytes.
    return write_media(path, bursts(16_000, (0.2,), seconds), kind, tags)


def test_session_of_one_recording(tmp_path: Path) -> None:
    path = clip(tmp_path / "stick2.m4a", 2.0, "2026-05-02T18:14:00Z")
    session = open_session([path])
    (recording,) = session.recordings
    assert recording.file == "stick2.m4a"
    assert recording.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    assert recording.offset == 0
    assert recording.recorded_at == "2026-05-02T18:14:00+00:00"
    assert session.transcript is None
    assert session.notices == ()


def test_session_folder_is_placed_by_recording_time(tmp_path: Path) -> None:
    clip(tmp_path / "a.m4a", 2.0, "2026-05-02T18:20:00Z")
    clip(tmp_path / "b.m4a", 3.0, "2026-05-02T18:10:00Z")
    (tmp_path / ".hidden.wav").write_bytes(b"x")
    (tmp_path / "photo.jpg").write_bytes(b"x")
    session = open_session([tmp_path])
    assert [(r.file, r.offset) for r in session.recordings] == [("b.m4a", 0), ("a.m4a", 600)]
    assert [c.path.name for c in session.clips] == ["b.m4a", "a.m4a"]


def test_session_without_times_goes_by_natural_name_order(tmp_path: Path) -> None:
    for name, seconds in (("memo 10.wav", 1.0), ("memo 2.wav", 2.0), ("memo.wav", 3.0)):
        clip(tmp_path / name, seconds)
    session = open_session(
        [tmp_path / "memo 10.wav", tmp_path / "memo 2.wav", tmp_path / "memo.wav"]
    )
    assert [r.file for r in session.recordings] == ["memo.wav", "memo 2.wav", "memo 10.wav"]
    assert [r.offset for r in session.recordings] == pytest.approx([0, 3, 5], abs=0.01)
    assert "by file name" in session.notices[0]


def test_session_uses_the_same_recording_once(tmp_path: Path) -> None:
    one = clip(tmp_path / "a.wav", 1.0)
    copy = tmp_path / "a copy.wav"
    copy.write_bytes(one.read_bytes())
    session = open_session([one, one, copy])
    assert len(session.recordings) == 1
    assert any("named twice" in notice for notice in session.notices)
    assert any("same recording" in notice for notice in session.notices)


def test_session_folder_leaves_out_what_is_no_recording(tmp_path: Path) -> None:
    clip(tmp_path / "good.wav", 1.0)
    (tmp_path / "bad.mp3").write_text("not sound " * 100)
    session = open_session([tmp_path])
    assert [r.file for r in session.recordings] == ["good.wav"]
    assert "bad.mp3" in session.notices[0]
    with pytest.raises(NotMedia):  # named by the user, it is an error
        open_session([tmp_path / "good.wav", tmp_path / "bad.mp3"])
    (tmp_path / "good.wav").unlink()
    with pytest.raises(NotMedia):
        open_session([tmp_path])


def test_session_never_mixes_recordings_and_transcripts(tmp_path: Path) -> None:
    sound = clip(tmp_path / "a.wav", 1.0)
    words = tmp_path / "a.vtt"
    words.write_text(VTT)
    with pytest.raises(UsageError, match=r"a\.vtt is a transcript"):
        open_session([sound, words])
    session = open_session([tmp_path])  # a folder: a video with its subtitles beside it
    assert session.kind == "sound"
    assert "transcripts beside them are not" in session.notices[0]


def test_session_reads_an_earlier_runs_folder_once(tmp_path: Path) -> None:
    notes = (
        '{"format": "ashdraft-notes", "version": 1, "utterances":'
        ' [{"start": 1, "end": 2, "heard": "Cedar."}]}'
    )
    (tmp_path / "notes.json").write_text(notes)
    (tmp_path / "captions.vtt").write_text(VTT)
    session = open_session([tmp_path])
    assert session.transcript is not None
    assert [u.text for u in session.transcript.utterances] == ["Cedar."]


def test_session_unreadable_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputMissing, match="holds no recording and no transcript"):
        open_session([tmp_path])


def test_session_joins_several_transcripts(tmp_path: Path) -> None:
    (tmp_path / "part 1.vtt").write_text(VTT)
    (tmp_path / "part 2.srt").write_text("1\n00:00:03,000 --> 00:00:04,500\nPepper.\n")
    session = open_session([tmp_path / "part 2.srt", tmp_path / "part 1.vtt"])
    assert session.transcript is not None
    said = [(u.start, u.end, u.text) for u in session.transcript.utterances]
    assert said == [(1, 2, "Cedar."), (5, 6.5, "Pepper.")]
    assert [(r.file, r.offset) for r in session.recordings] == [
        ("part 1.vtt", 0),
        ("part 2.srt", 2),
    ]
    assert "by file name" in session.transcript.notices[0]
