"""Stopped anywhere and started again: nothing is done twice and the result is the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ashdraft.intake import open_session
from ashdraft.model import Transcript
from ashdraft.options import Options
from ashdraft.progress import Silent
from ashdraft.transcribe import blocks, device, listening, transcribe

from tests.intake.media import Samples, write_media

from .conftest import WAV, long_session, need_model
from .stand import Stand


class Counted(Silent):
    """Remembers how far each piece of work came; stops a run when it is told to."""

    def __init__(self, stop_in: str = "", after: int = 0) -> None:
        self.totals: dict[str, float] = {}
        self.done: dict[str, float] = {}
        self._stop_in, self._after = stop_in, after
        self._now, self._steps = "", 0

    def start(self, what: str, total: float, unit: str) -> None:
        self._now, self._steps = what, 0
        self.totals[what], self.done[what] = total, 0.0

    def advance(self, by: float) -> None:
        self.done[self._now] += by
        self._steps += 1
        if self._now == self._stop_in and self._steps > self._after:
            raise KeyboardInterrupt


@pytest.fixture(autouse=True)
def _stand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(device, "Recogniser", Stand)
    monkeypatch.setattr(device, "ready", lambda model: Path())
    monkeypatch.setattr(Stand, "loaded", [])


@pytest.fixture
def session_file(narration: Samples, tmp_path: Path) -> Path:
    """Four windows of speech, which make four blocks."""
    return write_media(tmp_path / "a.wav", long_session(narration, 4, 20.0), WAV)


def run(path: Path, work: Path, progress: Any = None) -> Transcript:
    options = Options(inputs=(path,), model=need_model("tiny.en"))
    return transcribe(open_session([path]), options, work, progress or Silent())


def entries(work: Path, kind: str) -> list[Path]:
    return sorted((work / "heard").glob(f"{kind}-*.json"))


def test_resume_goes_on_where_it_was_stopped(session_file: Path, tmp_path: Path) -> None:
    whole = run(session_file, tmp_path / "undisturbed")
    assert Stand.loaded[0].asked == [1, 1, 1, 1]

    work = tmp_path / "stopped"
    with pytest.raises(KeyboardInterrupt):
        run(session_file, work, Counted("Listening for speech", after=3))
    assert entries(work, "voice") == []
    with pytest.raises(KeyboardInterrupt):
        run(session_file, work, Counted("Recognising speech", after=1))
    kept = len(entries(work, "block"))
    assert 1 <= kept < 4

    progress = Counted()
    assert run(session_file, work, progress) == whole
    assert len(Stand.loaded[-1].asked) == 4 - kept
    for what, total in progress.totals.items():
        assert progress.done[what] == pytest.approx(total, rel=0.01), what
    assert {p.name: p.read_bytes() for p in (work / "heard").iterdir()} == {
        p.name: p.read_bytes() for p in (tmp_path / "undisturbed" / "heard").iterdir()
    }


def test_resume_after_all_is_done_touches_neither_sound_nor_model(
    session_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = run(session_file, tmp_path)

    def never(*_: Any, **__: Any) -> Any:
        raise AssertionError("done twice")

    monkeypatch.setattr(listening, "decode", never)
    monkeypatch.setattr(blocks, "decode", never)
    monkeypatch.setattr(device, "ready", never)
    assert run(session_file, tmp_path) == whole


@pytest.mark.parametrize("kind", ["block", "voice", "language"])
def test_resume_makes_a_damaged_entry_again(kind: str, session_file: Path, tmp_path: Path) -> None:
    whole = run(session_file, tmp_path)
    Stand.loaded.clear()
    entry = entries(tmp_path, kind)[0]
    sound = entry.read_bytes()
    entry.write_bytes(sound[:-20] + b"x" * 20)
    assert run(session_file, tmp_path) == whole
    assert entry.read_bytes() == sound
    assert [model.asked for model in Stand.loaded] == {
        "block": [[1]], "language": [[]], "voice": []
    }[kind]  # fmt: skip


def test_resume_does_not_care_about_names_and_places(session_file: Path, tmp_path: Path) -> None:
    whole = run(session_file, tmp_path / "work")
    Stand.loaded.clear()
    moved = session_file.rename(tmp_path / "renamed.wav")
    again = run(moved, tmp_path / "work")
    assert again.utterances == whole.utterances
    assert again.recordings[0].file == "renamed.wav"
    assert Stand.loaded == []
