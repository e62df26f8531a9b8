"""`ashdraft models`: what is installed, where it is kept, and how to get what is not."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.cli import app
from ashdraft.transcribe import manifest
from typer.testing import CliRunner


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASHDRAFT_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def listed() -> list[str]:
    done = CliRunner().invoke(app, ["models"])
    assert (done.exit_code, done.stderr) == (0, "")
    return done.stdout.splitlines()


def test_models_that_are_missing_come_with_their_command(
    cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(manifest, "part_path", lambda _: None)
    lines = listed()
    for name, model in manifest.known_models().items():
        at = next(n for n, line in enumerate(lines) if line.split()[0] == name)
        assert "not installed" in lines[at]
        assert model.about in lines[at]
        assert model.install in lines[at + 1]
    assert lines[-1] == f"Kept in {cache}"
    assert not cache.exists()


def test_model_in_the_cache_needs_no_packages(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(manifest, "part_path", lambda _: None)
    model = manifest.known_models()["tiny.en"]
    (cache / "speech" / f"tiny.en-{model.revision[:12]}").mkdir(parents=True)
    state = {line.split()[0]: "not installed" not in line for line in listed()}
    assert state["tiny.en"]
    assert not state["base"]
