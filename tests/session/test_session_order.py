"""The order of the stages and what a run leaves behind, with stand-ins for the stages."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from ashdraft import session
from ashdraft.errors import InputMissing
from ashdraft.model import Heard
from ashdraft.options import Options
from ashdraft.progress import Silent

from .conftest import Chain, transcript


class Listening(Silent):
    def __init__(self) -> None:
        self.notes: list[str] = []

    def note(self, message: str) -> None:
        self.notes.append(message)


def options(tmp_path: Path, **changes: object) -> Options:
    return Options(**{"inputs": (tmp_path / "stick.wav",), **changes})  # type: ignore[arg-type]


def test_stages_run_in_order(chain: Chain, tmp_path: Path) -> None:
    result = session.write(options(tmp_path))
    assert chain.calls == ["sheet", "intake", "transcribe", "repair", "rules", "assemble"]
    assert result.folder == tmp_path / "stick-draft"
    assert sorted(p.name for p in result.folder.iterdir()) == [
        ".ashdraft",
        "captions.srt",
        "captions.vtt",
        "chapters.edit.txt",
        "chapters.txt",
        "draft.html",
        "draft.md",
        "notes.json",
    ]
    assert result.draft == result.folder / "draft.md"


def test_finished_transcript_skips_recognition(chain: Chain, tmp_path: Path) -> None:
    chain.ready = transcript(speech_model=None)
    result = session.write(options(tmp_path))
    assert "transcribe" not in chain.calls
    assert json.loads((result.folder / "notes.json").read_text())["made_by"] == {
        "ashdraft": "0.1.0",
        "speech_model": None,
        "language_model": "language 1.0",
        "lexicon": "abc123",
    }


def test_typed_fact_wins_and_the_disagreement_is_listed(chain: Chain, tmp_path: Path) -> None:
    typed = {"price": 9, "currency": "usd", "name": "Lantern", "maker": "Quillon"}
    result = session.write(options(tmp_path, facts=typed))
    facts = json.loads((result.folder / "notes.json").read_text())["facts"]
    assert facts == {"price": 9, "currency": "USD"}
    kinds = [(check.kind, check.utterances) for check in result.notes.checks]
    assert kinds == [("fact", (0,)), ("missing", ())]
    assert chain.names == ["Lantern", "Quillon"]


def test_second_run_gives_the_same_bytes(chain: Chain, tmp_path: Path) -> None:
    def contents() -> dict[str, bytes]:
        folder = session.write(options(tmp_path)).folder
        return {p.name: p.read_bytes() for p in folder.rglob("*") if p.is_file()}

    assert contents() == contents()


def test_edited_draft_is_kept_with_a_word(chain: Chain, tmp_path: Path) -> None:
    first = session.write(options(tmp_path))
    first.draft.write_text("# Mine\n")
    listening = Listening()
    second = session.write(options(tmp_path, caution=False), listening)
    assert first.draft.read_text() == "# Mine\n"
    assert second.draft.name == "draft.new.md"
    assert "caution False" in second.draft.read_text()
    assert any("draft.new.md" in note and "--force" in note for note in listening.notes)
    third = session.write(options(tmp_path, force=True), listening)
    assert "caution True" in third.draft.read_text()
    assert third.draft.name == "draft.md"


def test_notices_reach_the_draft_and_the_terminal(chain: Chain, tmp_path: Path) -> None:
    chain.heard = transcript(notices=("stick.wav breaks off at 1:30.",))
    listening = Listening()
    result = session.write(options(tmp_path), listening)
    assert ("input", "stick.wav breaks off at 1:30.") in [
        (c.kind, c.message) for c in result.notes.checks
    ]
    assert "stick.wav breaks off at 1:30." in listening.notes


def test_impossible_chapters_are_told(chain: Chain, tmp_path: Path) -> None:
    chain.chapters = (0.0,)
    listening = Listening()
    result = session.write(options(tmp_path), listening)
    assert any("at least 3 chapters" in note for note in listening.notes)
    assert "0:00 " not in (result.folder / "chapters.txt").read_text()


def test_last_chapter_ends_with_the_speech_where_no_length_is_known(
    chain: Chain, tmp_path: Path
) -> None:
    chain.chapters = (0.0, 20.0, 40.0)
    chain.ready = transcript(recordings=(), utterances=(Heard(0, 49.0, "All of it."),))
    result = session.write(options(tmp_path))
    assert "at least 3" in (result.folder / "chapters.txt").read_text()


def test_bad_input_leaves_no_folder(
    chain: Chain, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing(_: object) -> None:
        raise InputMissing("stick.wav is missing.")

    monkeypatch.setattr("ashdraft.intake.open_session", missing)
    with pytest.raises(InputMissing):
        session.write(options(tmp_path))
    assert list(tmp_path.iterdir()) == []
