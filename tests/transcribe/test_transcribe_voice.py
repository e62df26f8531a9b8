"""Finding speech: gate and detector agree with the detector alone, at any loudness."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from ashdraft.intake.decode import RATE, Stretch
from ashdraft.transcribe.spans import spans
from ashdraft.transcribe.voice import FRAME, probabilities, runs

from tests.intake.media import Samples

from .conftest import long_session


def stretches(sound: Samples, size: int = 37_001) -> Iterator[Stretch]:
    for start in range(0, len(sound), size):
        yield Stretch(start, sound[start : start + size])


def silero(sound: Samples) -> Samples:
    """The bundled detector by itself over the whole sound, as faster-whisper runs it."""
    from faster_whisper.vad import get_vad_model

    whole = sound[: len(sound) // FRAME * FRAME]
    answer: Samples = get_vad_model()(np.append(whole, np.zeros(FRAME, np.float32)))
    return answer.reshape(-1)[:-1]


def test_voice_agrees_with_the_detector_alone(narration: Samples) -> None:
    sound = long_session(narration, 2, 40.0)
    ours, theirs = probabilities(stretches(sound)), silero(sound)
    ours = ours[: len(theirs)]
    speech = theirs > 0.5
    assert speech.mean() > 0.1
    assert (ours[speech] > 0.5).mean() > 0.98
    assert (ours[~speech] > 0.5).mean() < 0.03


@pytest.mark.parametrize("snr_db", [10, 0])
def test_voice_gate_lets_speech_in_noise_through(snr_db: float, narration: Samples) -> None:
    sound = long_session(narration, 2, 40.0)
    loud = float(np.sqrt(np.mean(narration[np.abs(narration) > 0.02] ** 2)))
    hiss = np.random.default_rng(6).standard_normal(len(sound)) * loud * 10 ** (-snr_db / 20)
    sound = (sound + hiss).astype(np.float32)
    ours, theirs = probabilities(stretches(sound)), silero(sound)
    speech = theirs > 0.5
    assert speech.sum() > 100
    assert (ours[: len(theirs)][speech] > 0.5).mean() > 0.9


@pytest.mark.parametrize("gain_db", [-60, -30, 20])
def test_voice_finds_the_same_speech_at_any_loudness(gain_db: float, spoken: Samples) -> None:
    plain = probabilities(stretches(spoken)) > 0.5
    other = probabilities(stretches((spoken * 10 ** (gain_db / 20)).astype(np.float32))) > 0.5
    assert (plain == other).mean() > 0.95


def test_voice_does_not_depend_on_how_the_sound_arrives(spoken: Samples) -> None:
    sound = long_session(spoken, 4, 13.0)
    one = probabilities(stretches(sound, len(sound)))
    assert np.array_equal(one, probabilities(stretches(sound, 1_000)))


def test_voice_keeps_its_place_after_a_gap(spoken: Samples) -> None:
    late = 100 * RATE
    found = spans(probabilities(iter([Stretch(0, spoken), Stretch(late, spoken)])))
    first = [span for span in found if span.end <= len(spoken) + RATE]
    second = [span for span in found if span.start >= late - RATE]
    assert len(first) + len(second) == len(found)
    assert abs((second[0].start - late) - first[0].start) <= 2 * FRAME


@pytest.mark.parametrize("colour", ["silence", "white", "brown", "hum"])
def test_voice_finds_none_in_noise(colour: str) -> None:
    rng = np.random.default_rng(2)
    white = rng.standard_normal(60 * RATE)
    brown = np.cumsum(white - white.mean())
    sound = {
        "silence": np.zeros(60 * RATE),
        "white": white * 0.1,
        "brown": brown / np.abs(brown).max() * 0.5,
        "hum": 0.3 * np.sin(2 * np.pi * 50 * np.arange(60 * RATE) / RATE),
    }[colour]
    assert spans(probabilities(stretches(sound.astype(np.float32)))) == []


def test_voice_of_nothing_at_all() -> None:
    assert not probabilities(iter(())).any()


def test_runs_are_the_true_stretches() -> None:
    assert runs(np.array([1, 1, 0, 1, 0, 0, 1], dtype=np.bool_)) == [(0, 2), (3, 4), (6, 7)]
    assert runs(np.zeros(3, dtype=np.bool_)) == []
