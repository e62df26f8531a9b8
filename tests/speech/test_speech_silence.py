"""Ten minutes of everything that is not speech: not one word may come out."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from ashdraft_samples.sounds import bed, cough, lighter
from ashdraft_samples.voices import RATE, Sound

from tests.speech.hear import heard

MINUTES = 10


def now_and_then(clip: Callable[[int], Sound], every: float) -> Sound:
    """A clip every so many seconds over the air of a quiet room."""
    out = 0.003 * bed("room", MINUTES * 60.0)
    for number, start in enumerate(np.arange(2.0, MINUTES * 60 - 3, every)):
        sound = 0.3 * clip(number)
        out[round(start * RATE) : round(start * RATE) + sound.size] += sound
    return out.astype(np.float32)


def steady(kind: str, level: float) -> Sound:
    return (level * bed(kind, MINUTES * 60.0)).astype(np.float32)


SOUNDS: dict[str, Callable[[], Sound]] = {
    "nothing": lambda: np.zeros(MINUTES * 60 * RATE, np.float32),
    "room": lambda: steady("room", 0.003),
    "wind": lambda: steady("wind", 0.1),
    "rain": lambda: steady("rain", 0.05),
    "traffic": lambda: steady("traffic", 0.05),
    "music": lambda: steady("music", 0.05),
    "lighters": lambda: now_and_then(lighter, 7.0),
    "coughs": lambda: now_and_then(cough, 11.0),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", SOUNDS)
def test_silence_gives_no_words(name: str) -> None:
    assert [u.text for u in heard(SOUNDS[name]())] == []
