"""Noises made by program: levels as asked, repeatable, and really different from each other."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from ashdraft_samples.sounds import BEDS, FADE, LOOP, bed, cough, lighter, mixed, rms, spoken_level
from ashdraft_samples.voices import RATE, Sound
from numpy.typing import NDArray


def tone(seconds: float) -> Sound:
    time = np.arange(round(seconds * RATE)) / RATE
    return (0.1 * np.sin(2 * np.pi * 440 * time)).astype(np.float32)


@pytest.mark.parametrize("kind", sorted(BEDS))
def test_sounds_beds_repeat_for_a_seed_and_have_no_clicks_at_the_seams(kind: str) -> None:
    once, again = bed(kind, 90.0, seed=3), bed(kind, 90.0, seed=3)
    assert np.array_equal(once, again)
    assert once.size == 90 * RATE
    assert rms(once) == pytest.approx(1.0, abs=0.1)
    steps = np.abs(np.diff(once))
    seams = [round((LOOP - FADE) * n * RATE) for n in (1, 2, 3)]
    usual = np.quantile(steps, 0.9999)
    assert max(steps[s - 2 : s + 2].max() for s in seams) <= max(usual, steps[: 15 * RATE].max())


def test_sounds_beds_have_different_spectra() -> None:
    def octaves(kind: str) -> NDArray[np.float64]:
        power = np.abs(np.fft.rfft(bed(kind, 10.0))) ** 2
        edges = [round(f * 10) for f in (20, 60, 180, 540, 1620, 4860, 12000)]
        shares = np.array([power[a:b].sum() for a, b in pairwise(edges)])
        return np.asarray(shares / shares.sum(), dtype=np.float64)

    shapes = {kind: octaves(kind) for kind in BEDS}
    for first in shapes:
        for second in shapes:
            if first < second:
                assert np.abs(shapes[first] - shapes[second]).sum() > 0.1, (first, second)


@pytest.mark.parametrize("decibels", [20.0, 10.0, 5.0])
def test_sounds_mixed_at_the_ratio_asked_for(decibels: float) -> None:
    speech = np.concatenate([np.zeros(2 * RATE, np.float32), tone(1.0), np.zeros(RATE, np.float32)])
    spans = [(2.0, 3.0)]
    both = mixed(speech, spans, bed("rain", 4.0), decibels)
    noise = rms(both[: 2 * RATE])
    speech_and_noise = spoken_level(both, spans)
    measured = 10 * np.log10((speech_and_noise**2 - noise**2) / noise**2)
    assert measured == pytest.approx(decibels, abs=0.5)


def test_sounds_mixed_never_clips() -> None:
    loud = tone(2.0) * 9
    assert np.abs(mixed(loud, [(0.0, 2.0)], bed("babble", 2.0), 5.0)).max() <= 0.99


@pytest.mark.parametrize("clip", [lighter, cough])
def test_sounds_clips_are_short_and_differ_by_seed(clip) -> None:  # type: ignore[no-untyped-def]
    assert 0.3 * RATE < clip(1).size < 1.5 * RATE
    assert np.abs(clip(1)).max() == pytest.approx(1.0)
    assert not np.array_equal(clip(1), clip(2))
