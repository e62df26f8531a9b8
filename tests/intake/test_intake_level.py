"""Levelling to -20 dBFS: RMS against full scale, recomputed here with numpy, and never clipped."""

from __future__ import annotations

import numpy as np
import pytest
from ashdraft.intake.decode import RATE
from ashdraft.intake.level import join, level
from numpy.typing import NDArray

Samples = NDArray[np.float32]


def voice_like(seconds: float = 2.0) -> Samples:
    """A tone of 150 Hz with harmonics, in syllables."""
    t = np.arange(int(seconds * RATE)) / RATE
    tone = sum(np.sin(2 * np.pi * 150 * n * t) / n for n in range(1, 8))
    return (0.2 * tone * (0.1 + np.abs(np.sin(2 * np.pi * 2 * t)))).astype(np.float32)


def rms(samples: Samples) -> float:
    return float(20 * np.log10(np.sqrt(np.mean(np.square(samples, dtype=np.float64)))))


@pytest.mark.parametrize("gain_db", [-60, -30, 0, 10, 30])
def test_level_brings_any_loudness_to_the_target(gain_db: float) -> None:
    sound = voice_like()
    levelled = level((sound * 10 ** (gain_db / 20)).astype(np.float32))
    assert rms(levelled) == pytest.approx(-20.0, abs=0.1)
    assert np.abs(levelled).max() <= 1.0
    assert np.corrcoef(levelled, sound)[0, 1] > 0.9999
    assert len(levelled) == len(sound)


def test_level_lowers_a_clipped_recording() -> None:
    clipped = np.clip(voice_like() * 20, -1, 1).astype(np.float32)
    levelled = level(clipped)
    assert rms(levelled) == pytest.approx(-20.0, abs=0.1)
    assert np.corrcoef(levelled, clipped)[0, 1] > 0.9999


def test_level_is_not_held_down_by_a_click() -> None:
    sound = voice_like() * np.float32(0.01)
    sound[1000] = 0.9
    levelled = level(sound)
    assert rms(np.delete(sound, 1000)) < -50
    assert rms(np.delete(levelled, 1000)) == pytest.approx(-20.0, abs=0.2)
    assert np.abs(levelled).max() <= 1.0


def test_level_leaves_digital_silence_alone() -> None:
    assert not level(np.zeros(RATE, dtype=np.float32)).any()
    assert len(level(np.zeros(0, dtype=np.float32))) == 0


def test_join_lays_pieces_out_to_the_sample() -> None:
    pieces = [voice_like(0.5), voice_like(1.2503125), np.zeros(777, dtype=np.float32)]
    joined = join(pieces, 0.4)
    gap = int(0.4 * RATE)
    assert len(joined) == sum(len(p) for p in pieces) + 2 * gap
    first, second = len(pieces[0]), len(pieces[0]) + gap
    assert not joined[first:second].any()
    body = joined[second + 200 : second + len(pieces[1]) - 200]
    assert np.corrcoef(body, pieces[1][200:-200])[0, 1] > 0.9999
