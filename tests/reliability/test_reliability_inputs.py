"""Recordings that change or vanish, stores and models that are damaged, clocks that jump."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ashdraft.errors import InputMissing, ModelDamaged, NoSpeech
from ashdraft.intake import open_session
from ashdraft.intake import session as intake_session
from ashdraft.intake.decode import RATE
from ashdraft.options import Options
from ashdraft.progress import Silent
from ashdraft.session import write
from ashdraft.transcribe import device, listening
from ashdraft.transcribe import transcribe as transcribed
from ashdraft.transcribe.weights import NEEDED, Model

from tests.intake.media import Kind, write_media
from tests.reliability.sound import narrated
from tests.transcribe.conftest import long_session, need_model
from tests.transcribe.stand import Stand

WAV = Kind("wav", "pcm_s16le", RATE)


@pytest.fixture(autouse=True)
def _stand(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(device, "Recogniser", Stand)
    monkeypatch.setattr(device, "ready", lambda model: Path())
    monkeypatch.setattr(Stand, "loaded", [])


@pytest.fixture
def recording(tmp_path: Path) -> Path:
    return write_media(tmp_path / "a.wav", long_session(narrated(12), 2, 20.0), WAV)


def options(recording: Path, out: Path) -> Options:
    return Options((recording,), out=out, model=need_model("tiny.en"))


class At(Silent):
    """Does something to the recording within listening, or between it and recognising."""

    def __init__(self, what: str, change: Callable[[], object]) -> None:
        self._what, self._change, self._left = what, change, 1

    def start(self, what: str, total: float, unit: str) -> None:
        if what == self._what == "Recognising speech":
            self._change()

    def advance(self, by: float) -> None:
        if self._what == "Listening for speech" and self._left:
            self._left = 0
            self._change()


def grown(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"\0" * 64_000)


def replaced(path: Path) -> None:
    write_media(path, long_session(narrated(12)[::-1], 2, 20.0), WAV)


@pytest.mark.parametrize("change", [Path.unlink, grown, replaced], ids=lambda f: f.__name__)
@pytest.mark.parametrize("when", ["Listening for speech", "Recognising speech"])
def test_recording_that_changes_is_told_and_never_poisons_the_store(
    change: Callable[[Path], object], when: str, recording: Path, tmp_path: Path
) -> None:
    """What was stored until then is what an undisturbed run stores as well."""
    sound = recording.read_bytes()
    whole = write(options(recording, tmp_path / "whole"))
    with pytest.raises(InputMissing, match=r"a\.wav"):
        write(options(recording, tmp_path / "out"), At(when, lambda: change(recording)))
    stored = {p.name: p.read_bytes() for p in (tmp_path / "out").rglob("*.json")}
    undisturbed = {p.name: p.read_bytes() for p in (tmp_path / "whole").rglob("*.json")}
    assert {k: v for k, v in stored.items() if k != "written.json"}.items() <= undisturbed.items()
    recording.write_bytes(sound)
    again = write(options(recording, tmp_path / "out"))
    assert again.draft.read_bytes() == whole.draft.read_bytes()


def test_recording_that_grows_between_probing_and_summing(
    recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = intake_session.sha256_of

    def growing(path: Path) -> str:
        grown(path)
        return plain(path)

    monkeypatch.setattr(intake_session, "sha256_of", growing)
    with pytest.raises(InputMissing, match="changed while"):
        open_session([recording])


def test_stored_bytes_that_flip_are_noticed(recording: Path, tmp_path: Path) -> None:
    """An entry is used where its content has its sum, and is made again where it has not."""
    session, asked = open_session([recording]), options(recording, tmp_path)
    whole = transcribed(session, asked, tmp_path / "work", Silent())
    rng = np.random.default_rng(3)
    for path in sorted((tmp_path / "work/heard").glob("*.json")):
        sound = path.read_bytes()
        for _ in range(5):
            data = bytearray(sound)
            data[int(rng.integers(len(data)))] ^= 1 << int(rng.integers(8))
            path.write_bytes(data)
            assert transcribed(session, asked, tmp_path / "work", Silent()) == whole
        path.write_bytes(sound)


def test_silence_leaves_no_folder(tmp_path: Path) -> None:
    quiet = write_media(tmp_path / "quiet.wav", np.zeros(5 * RATE, dtype=np.float32), WAV)
    with pytest.raises(NoSpeech):
        write(options(quiet, tmp_path / "out"))
    assert sorted(p.name for p in tmp_path.iterdir()) == ["quiet.wav"]


def test_silence_leaves_a_folder_that_was_there_as_it_was(recording: Path, tmp_path: Path) -> None:
    quiet = write_media(tmp_path / "quiet.wav", np.zeros(5 * RATE, dtype=np.float32), WAV)
    (tmp_path / "mine").mkdir()
    write(options(recording, tmp_path / "drafted"))
    before = sorted((tmp_path / "drafted").rglob("*"))
    for place in ("mine", "drafted"):
        with pytest.raises(NoSpeech):
            write(options(quiet, tmp_path / place))
    assert list((tmp_path / "mine").iterdir()) == []
    assert set(before) <= set((tmp_path / "drafted").rglob("*"))


def test_damaged_model_is_told_before_listening_and_leaves_no_folder(
    recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def damaged(model: Model) -> Path:
        raise ModelDamaged("model.bin does not have its published SHA-256 sum.")

    def never(*_: Any, **__: Any) -> Any:
        raise AssertionError("listened first")

    monkeypatch.setattr(device, "ready", damaged)
    monkeypatch.setattr(listening, "decode", never)
    with pytest.raises(ModelDamaged):
        write(options(recording, tmp_path / "out"))
    assert not (tmp_path / "out").exists()


def test_model_without_published_sums_is_told(recording: Path, tmp_path: Path) -> None:
    folder = tmp_path / "my-model"
    folder.mkdir()
    for name in NEEDED:
        (folder / name).write_bytes(b"{}")
    result = write(Options((recording,), out=tmp_path / "out", model=str(folder)))
    told = [check.message for check in result.notes.checks if check.kind == "input"]
    assert any("no published sums for the speech model my-model" in text for text in told)


def test_clock_that_jumps_changes_nothing(
    recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = write(options(recording, tmp_path / "whole"))
    jumps = iter(range(10**9))
    monkeypatch.setattr(time, "time", lambda: (-1.0) ** next(jumps) * 1e9)
    monkeypatch.setattr(time, "time_ns", lambda: next(jumps) * -(10**9))
    os.utime(recording, (0, 2**31))  # a recorder whose clock was never set
    again = write(options(recording, tmp_path / "again"))
    for first, second in zip(whole.files, again.files, strict=True):
        assert first.path.read_bytes() == second.path.read_bytes()


def test_cuda_that_is_not_there_falls_back_with_a_word(
    recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ctranslate2 = pytest.importorskip("ctranslate2")
    monkeypatch.setattr(ctranslate2, "get_cuda_device_count", lambda: 0)
    asked = Options((recording,), out=tmp_path / "out", model=need_model("tiny.en"), device="cuda")
    told = [check.message for check in write(asked).notes.checks]
    assert "The processor is used and not CUDA: no CUDA device was found." in told


@pytest.mark.parametrize("works", [True, False])
def test_cuda_is_asked_for_half_precision(
    works: bool, recording: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """float16 on CUDA, int8 on a processor; a device that does not work is not used."""
    ctranslate2 = pytest.importorskip("ctranslate2")
    from ashdraft.transcribe import recogniser

    asked: list[tuple[str, str]] = []

    class Loaded:
        feature_extractor = staticmethod(lambda sound: sound)
        model = type("M", (), {"is_multilingual": False})

        def __init__(self, folder: str, device: str, compute_type: str, **_: object) -> None:
            asked.append((device, compute_type))

        def encode(self, features: object) -> None:
            if not works:
                raise RuntimeError("CUDA driver version is insufficient")

    monkeypatch.setattr(ctranslate2, "get_cuda_device_count", lambda: 1)
    monkeypatch.setattr(recogniser, "_model_class", lambda: Loaded)
    monkeypatch.setattr(device, "Recogniser", recogniser.Recogniser)
    model = Model("any", "0", None)
    loader = device.Loader(model, Options((recording,), device="cuda"))
    loader.recogniser()
    assert asked == [("cuda", "float16")] if works else [("cuda", "float16"), ("cpu", "int8")]
    assert loader.identity["device"] == ("cuda" if works else "cpu")
    assert bool(loader.notices) is not works
