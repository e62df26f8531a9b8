"""How loud a recording is along its length, for the strip; computed once and kept."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from math import ceil
from pathlib import Path

from ..errors import AshdraftError
from ..model import Recording
from ..output import WORK, atomic_write
from .sound import Sound

STEP = 0.25
"""Seconds of one value."""
LOWEST = -50.0
"""Decibels below full scale (dBFS) that are drawn as silence."""
_one_at_a_time = threading.Lock()


def peaks(folder: Path, sounds: Sequence[Sound]) -> bytes:
    """Return the loudness of the joined timeline, one byte for each `STEP` seconds.

    0 is `LOWEST` or less, 255 full scale, evenly in decibels. What was not recorded, is not found
    or cannot be decoded is 0. Kept in `.ashdraft`, by the recording's SHA-256 sum.
    """
    ends = [s.recording.offset + s.recording.duration for s in sounds]
    joined = bytearray(ceil(max(ends, default=0.0) / STEP))
    for sound in sounds:
        if sound.path is not None:
            first = round(sound.recording.offset / STEP)
            with _one_at_a_time:
                own = _kept(folder, sound.recording, sound.path)[: len(joined) - first]
            joined[first : first + len(own)] = own
    return bytes(joined)


def _kept(folder: Path, recording: Recording, path: Path) -> bytes:
    name = "".join(c for c in recording.sha256[:16] if c in "0123456789abcdef")
    cache = folder / WORK / f"peaks-{name}.bin"
    try:
        return cache.read_bytes()
    except OSError:
        pass
    try:
        found = _computed(path, recording.duration)
    except AshdraftError:
        return b""
    cache.parent.mkdir(mode=0o700, exist_ok=True)
    atomic_write(cache, found)
    return found


def _computed(path: Path, seconds: float) -> bytes:
    import numpy as np

    from ..intake.decode import RATE, decode

    step = int(STEP * RATE)
    loudest = np.zeros(ceil(seconds / STEP) + 1, dtype=np.float32)
    for stretch in decode(path):
        lead = stretch.start % step
        count = ceil((lead + len(stretch.samples)) / step)
        padded = np.zeros(count * step, dtype=np.float32)
        padded[lead : lead + len(stretch.samples)] = np.abs(stretch.samples)
        first = stretch.start // step
        here = padded.reshape(count, step).max(axis=1)[: max(0, len(loudest) - first)]
        span = slice(first, first + len(here))
        loudest[span] = np.maximum(loudest[span], here)
    decibels = 20 * np.log10(np.maximum(loudest, 1e-6))
    return bytes((np.clip(1 - decibels / LOWEST, 0, 1) * 255).round().astype(np.uint8))
