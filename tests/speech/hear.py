"""Runs the chain's own recognition on a performance, as `ashdraft write` would."""

from __future__ import annotations

import tempfile
import wave
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from ashdraft.errors import NoSpeech
from ashdraft.intake import open_session
from ashdraft.model import Heard, Said
from ashdraft.options import Options
from ashdraft.progress import Silent
from ashdraft.repair import repair
from ashdraft.transcribe import transcribe
from ashdraft_samples.voices import RATE, Sound


def heard(sound: Sound, *, model: str = "base") -> tuple[Heard, ...]:
    """What the recogniser makes of samples at RATE; empty where it finds no speech."""
    with tempfile.TemporaryDirectory() as folder:
        recording = Path(folder, "spoken.wav")
        save(sound, recording)
        options = Options(inputs=(recording,), model=model)
        try:
            session = open_session(options.inputs)
            return transcribe(session, options, Path(folder), Silent()).utterances
        except NoSpeech:
            return ()


def repaired(utterances: Sequence[Heard], names: Sequence[str] = ()) -> tuple[Said, ...]:
    """The same utterances after repair of trade words and names."""
    return repair(utterances, names)[0]


def save(sound: Sound, target: Path) -> None:
    """Write samples at RATE as a 16-bit WAV file."""
    pcm = (np.clip(sound, -1.0, 1.0) * 32767).astype("<i2")
    with wave.open(str(target), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(pcm.tobytes())
