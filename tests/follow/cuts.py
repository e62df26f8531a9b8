"""Cuts with known answers: passages of real spoken sound, put together and encoded by the tests."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
from ashdraft.intake.decode import RATE, decode
from numpy.typing import NDArray

Sound = NDArray[np.float32]
SAMPLES = Path(__file__).parents[2] / "samples"
NARRATION = SAMPLES / "weathervane-narration.ogg"
LIVE = SAMPLES / "night-ferry-live.ogg"


@cache
def load(path: Path, first: float = 0.0, last: float = 1e6) -> Sound:
    """Return the samples from `first` to `last` seconds at 16 kHz; gaps are silence."""
    pieces, at = [], 0
    for stretch in decode(path):
        if stretch.start > at:
            pieces.append(np.zeros(stretch.start - at, np.float32))
        pieces.append(stretch.samples)
        at = stretch.end
        if at > last * RATE:
            break
    return np.concatenate(pieces)[int(first * RATE) : int(min(last, 1e6) * RATE)]


def save(path: Path, sound: Sound, codec: str, rate: int, bit_rate: int = 96_000) -> Path:
    """Encode mono sound; the ending of `path` says in which container."""
    import av

    with av.open(str(path), "w") as file:
        stream = file.add_stream(codec, rate=rate, layout="mono")
        if codec not in ("flac", "pcm_s16le"):
            stream.bit_rate = bit_rate
        if codec == "libmp3lame":
            stream.codec_context.options = {"compression_level": "7"}
        resampler = av.AudioResampler(stream.codec_context.format, "mono", rate)
        for at in range(0, len(sound), 10 * RATE):
            whole = np.clip(np.rint(sound[None, at : at + 10 * RATE] * 32767), -32767, 32767)
            frame = av.AudioFrame.from_ndarray(whole.astype("<i2"), format="s16", layout="mono")
            frame.sample_rate = RATE
            for ready in resampler.resample(frame):
                ready.pts = None
                file.mux(stream.encode(ready))
        for ready in resampler.resample(None):
            ready.pts = None
            file.mux(stream.encode(ready))
        file.mux(stream.encode(None))
    return path


def music(samples: int, seed: int = 0) -> Sound:
    """Return plucked chords with overtones, two a second, at a level of 1.0."""
    rng = np.random.default_rng(seed)
    out = np.zeros(samples + 2 * RATE)
    t = np.arange(RATE) / RATE
    for at in range(0, samples, RATE // 2):
        for note in rng.choice([0, 3, 5, 7, 10, 12, 15, 19], 3, replace=False):
            pitch = 220 * 2 ** (note / 12)
            for overtone in range(1, 6):
                wave = np.sin(2 * np.pi * (pitch * overtone * t + rng.random()))
                out[at : at + RATE] += wave / overtone * np.exp(-2 * t)
    out = out[:samples]
    return (out / np.sqrt(np.mean(out**2))).astype(np.float32)


def speech_level(sound: Sound) -> float:
    """Return the level of the louder half of the sound: speech, without its pauses."""
    power = np.convolve(sound.astype(np.float64) ** 2, np.ones(1600) / 1600, "same")
    return float(np.sqrt(power[power > np.median(power)].mean()))


@dataclass(frozen=True, slots=True)
class Piece:
    """A true passage of the cut (seconds); `source` is None for foreign sound."""

    start: float
    end: float
    source: float | None


def assemble(raw: Sound, parts: Sequence[tuple[float, float] | Sound]) -> tuple[Sound, list[Piece]]:
    """Return the parts in a row: spans of `raw` in seconds, or sound of its own."""
    sounds, truth, at = [], [], 0.0
    for part in parts:
        own = isinstance(part, np.ndarray)
        sound = part if own else raw[int(part[0] * RATE) : int(part[1] * RATE)]
        length = len(sound) / RATE
        truth.append(Piece(at, at + length, None if own else int(part[0] * RATE) / RATE))
        sounds.append(sound)
        at += length
    return np.concatenate(sounds), truth


def with_music(sound: Sound, below_db: float) -> Sound:
    """Lay music under, `below_db` under the level of the speech."""
    level = speech_level(sound) * 10 ** (-below_db / 20)
    return sound + music(len(sound)) * level


def cut_points(sound: Sound, wanted: Sequence[float]) -> list[tuple[float, float]]:
    """Return spans between the quietest moments near the `wanted` seconds."""
    quiet = []
    for second in wanted:
        first = int((second - 1.5) * RATE)
        near = sound[first : first + 3 * RATE].astype(np.float64)
        power = np.convolve(near**2, np.ones(1600) / 1600, "valid")
        quiet.append((first + 800 + int(power.argmin())) / RATE)
    return list(pairwise(quiet))
