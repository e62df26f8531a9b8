"""Noises made by program: rooms, weather and streets as beds, lighters and coughs as clips.

Every sound comes from a seeded generator, so the same seed gives the same samples. Beds have a
root mean square near 1; `mixed` sets them against the speech at a level in decibels. The spectra
and rhythms are rough likenesses by ear (no source); what counts is that they differ.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, partial

import numpy as np
from numpy.typing import NDArray

from .voices import RATE, Sound

Spans = Sequence[tuple[float, float]]
Wave = NDArray[np.float64]
Curve = Callable[[Wave], Wave]
LOOP = 20.0  # seconds of a bed that are made; longer beds repeat them with a cross-fade
FADE = 1.0


def bed(kind: str, seconds: float, seed: int = 0) -> Sound:
    """A steady noise of one of BEDS, `seconds` long, root mean square near 1."""
    loop = _loop(kind, seed)
    wanted, fade = round(seconds * RATE), round(FADE * RATE)
    if wanted <= loop.size:
        return loop[:wanted].astype(np.float32)
    rise = np.sqrt(np.linspace(0.0, 1.0, fade))
    ring = loop[:-fade].copy()
    ring[:fade] = loop[:fade] * rise + loop[-fade:] * rise[::-1]
    return np.resize(ring, wanted).astype(np.float32)


@cache
def _loop(kind: str, seed: int) -> Wave:
    return _levelled(BEDS[kind](np.random.default_rng(seed), round(LOOP * RATE)))


def mixed(speech: Sound, spans: Spans, noise: Sound, decibels: float) -> Sound:
    """Speech over noise at a speech-to-noise ratio in decibels, without clipping.

    The speech level is the mean power over the spoken spans only (seconds), after the idea of
    the active speech level of ITU-T P.56; the noise level is that of the whole bed.
    """
    gain = spoken_level(speech, spans) * 10 ** (-decibels / 20) / rms(noise)
    both = speech + noise[: speech.size] * np.float32(gain)
    peak = float(np.abs(both).max(initial=0.0))
    return (both / peak * 0.99 if peak > 0.99 else both).astype(np.float32)


def spoken_level(speech: Sound, spans: Spans) -> float:
    """Root mean square of the samples inside the spans."""
    return rms(np.concatenate([speech[round(a * RATE) : round(b * RATE)] for a, b in spans]))


def rms(sound: Sound) -> float:
    return float(np.sqrt(np.mean(np.square(sound, dtype=np.float64))))


def lighter(seed: int = 0) -> Sound:
    """A lid, two strikes of the wheel and a short hiss of gas; about 1.2 s, peak 1."""
    rng = np.random.default_rng(seed)
    out = np.zeros(round(1.2 * RATE))
    for at, length, low in ((0.02, 0.012, 1800), (0.30, 0.035, 2500), (0.52, 0.035, 2500)):
        _add(out, at, _band(rng, length, low, 9000) * _decay(length, length / 4))
    hiss = _band(rng, 0.55, 3000, 11000) * np.hanning(round(0.55 * RATE))
    _add(out, 0.58, 0.12 * hiss)
    return _peaked(out)


def cough(seed: int = 0) -> Sound:
    """A burst of breath with a rough voiced tail; about 0.5 s, peak 1."""
    rng = np.random.default_rng(seed)
    out = np.zeros(round(0.55 * RATE))
    _add(out, 0.0, _band(rng, 0.12, 500, 5000) * _decay(0.12, 0.04))
    time = np.arange(round(0.3 * RATE)) / RATE
    buzz = np.sign(np.sin(2 * np.pi * (150 - 120 * time) * time))
    rough = np.asarray(buzz + rng.normal(0, 0.6, time.size), dtype=np.float64)
    tail = _shaped_like(rough, lambda f: _hump(f, 600, 300) + 0.4 * _hump(f, 1300, 400))
    _add(out, 0.09, 0.8 * tail / np.abs(tail).max() * _decay(0.3, 0.08))
    return _peaked(out)


def _hiss(rng: np.random.Generator, n: int, curve: Curve) -> Wave:
    """White noise whose spectrum is bent by a curve over the frequency in hertz."""
    return _shaped_like(rng.normal(size=n), curve)


def _shaped_like(sound: Wave, curve: Curve) -> Wave:
    frequencies = np.asarray(np.fft.rfftfreq(sound.size, 1 / RATE), dtype=np.float64)
    bent = np.fft.rfft(sound) * curve(frequencies)
    return np.asarray(np.fft.irfft(bent, sound.size), dtype=np.float64)


def _room(rng: np.random.Generator, n: int) -> Wave:
    """Quiet air with a little mains hum."""
    time = np.arange(n) / RATE
    air = _levelled(_hiss(rng, n, lambda f: 1 / (1 + f / 150)))
    return air + 0.15 * np.sin(2 * np.pi * 100 * time)


def _hum(_: np.random.Generator, n: int) -> Wave:
    """Mains hum and its overtones, as from a fan or a refrigerator."""
    time = np.arange(n) / RATE
    tones = [np.sin(2 * np.pi * 50 * k * time + k) / k for k in (1, 2, 3, 4, 6, 8)]
    return np.asarray(np.sum(tones, axis=0), dtype=np.float64)


def _wind(rng: np.random.Generator, n: int) -> Wave:
    """Low rumble in gusts."""
    return _hiss(rng, n, lambda f: 1 / (1 + (f / 120) ** 1.5)) * _swell(rng, n, 3.0, 0.15)


def _rain(rng: np.random.Generator, n: int) -> Wave:
    """Steady hiss with drops on a roof."""
    out = 0.4 * _levelled(_hiss(rng, n, lambda f: f / (f + 800)))
    drop = _band(rng, 0.02, 900, 5000) * _decay(0.02, 0.004)
    for start in rng.integers(0, n - drop.size, size=n * 25 // RATE):
        out[start : start + drop.size] += drop * rng.uniform(0.2, 1.0)
    return out


def _traffic(rng: np.random.Generator, n: int) -> Wave:
    """A far road with cars passing every few seconds."""
    out = 0.3 * _levelled(_hiss(rng, n, lambda f: 1 / (1 + f / 200)))
    length = 6 * RATE
    car = _levelled(_hiss(rng, length, lambda f: _hump(f, 300, 250) + 0.3 * _hump(f, 900, 500)))
    for start in rng.integers(0, n - length, size=max(1, n // (5 * RATE))):
        out[start : start + length] += car * np.hanning(length) * rng.uniform(0.5, 1.2)
    return out


def _music(rng: np.random.Generator, n: int) -> Wave:
    """Slow chords with a wandering tune over them and a tick on every beat, no singing."""
    out, beat = np.zeros(n), RATE // 2
    scale = 220 * 2 ** (np.array([0, 2, 4, 7, 9, 12]) / 12)
    for number, start in enumerate(range(0, n - 2 * beat, beat)):
        tones = [rng.choice(scale) * 2] if number % 4 else [*rng.choice(scale, 3), 110.0]
        time = np.arange(2 * beat) / RATE
        for tone in tones:
            strings = sum(np.sin(2 * np.pi * tone * k * time) / k**2 for k in (1, 2, 3, 4))
            out[start : start + 2 * beat] += strings * np.exp(-3 * time)
        _add(out, start / RATE, 0.3 * _band(rng, 0.03, 4000, 10000) * _decay(0.03, 0.008))
    return out


def _babble(rng: np.random.Generator, n: int) -> Wave:
    """A full cafe: ten voices of made-up vowels that never form a word."""
    talkers = [_levelled(_murmur(rng, n)) for _ in range(10)]
    return np.asarray(np.sum(talkers, axis=0), dtype=np.float64)


def _murmur(rng: np.random.Generator, n: int) -> Wave:
    """One talker: buzz at a drifting pitch through random vowel shapes, four syllables a second."""
    pitch = rng.uniform(90, 230) * (1 + 0.1 * _drift(rng, n, 1.5))
    buzz = np.cumsum(pitch) / RATE
    source = (buzz % 1.0) - 0.5 + 0.05 * rng.normal(size=n)
    out, at = np.zeros(n), 0
    while at < n:
        length = round(rng.uniform(0.12, 0.35) * RATE)
        piece = source[at : at + length]
        first, second = rng.uniform(250, 850), rng.uniform(900, 2400)
        voiced = _shaped_like(
            piece,
            partial(_vowel, first, second),
        )
        out[at : at + length] = voiced * np.hanning(piece.size) * rng.uniform(0.0, 1.0)
        at += length
    return out


def _vowel(first: float, second: float, f: Wave) -> Wave:
    """Two formants, centres in hertz."""
    return _hump(f, first, 120) + 0.5 * _hump(f, second, 200) + 0.02


BEDS: dict[str, Callable[[np.random.Generator, int], Wave]] = {
    "room": _room,
    "hum": _hum,
    "wind": _wind,
    "rain": _rain,
    "traffic": _traffic,
    "babble": _babble,
    "music": _music,
}


def _hump(f: Wave, centre: float, width: float) -> Wave:
    return np.exp(-(((f - centre) / width) ** 2))


def _band(rng: np.random.Generator, seconds: float, low: float, high: float) -> Wave:
    noise = _hiss(rng, round(seconds * RATE), lambda f: ((f > low) & (f < high)).astype(float))
    return np.asarray(noise / np.abs(noise).max(), dtype=np.float64)


def _decay(seconds: float, half: float) -> Wave:
    return np.exp(-np.arange(round(seconds * RATE)) / RATE / half)


def _drift(rng: np.random.Generator, n: int, seconds: float) -> Wave:
    """A smooth random line between -1 and 1 that turns about every `seconds`."""
    knots = rng.uniform(-1, 1, size=int(n / RATE / seconds) + 2)
    return np.interp(np.linspace(0, knots.size - 1, n), np.arange(knots.size), knots)


def _swell(rng: np.random.Generator, n: int, seconds: float, least: float) -> Wave:
    return least + (1 - least) * (0.5 + 0.5 * _drift(rng, n, seconds)) ** 2


def _add(out: Wave, at: float, sound: Wave) -> None:
    start = round(at * RATE)
    out[start : start + sound.size] += sound


def _levelled(sound: Wave) -> Wave:
    return np.asarray(sound / np.sqrt(np.mean(np.square(sound))), dtype=np.float64)


def _peaked(sound: Wave) -> Sound:
    return np.asarray(sound / np.abs(sound).max(), dtype=np.float32)
