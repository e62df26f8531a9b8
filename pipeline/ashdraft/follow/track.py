"""The sound of one file at a low rate, on disk and not in memory, to be read anywhere."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import IO, TYPE_CHECKING

from ..intake.decode import RATE as DECODED
from ..intake.decode import decode

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

RATE = 8_000
"""Samples a second: speech is told apart well below 4 kHz, and half of the work is saved."""
_STEP = DECODED // RATE
_TAPS = 31
_FULL = 32_767.0
_ZEROS = 10 * DECODED


class Track:
    """Mono sound at 8 kHz as 16-bit numbers in an unnamed temporary file, gone when closed."""

    def __init__(self) -> None:
        self._file: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115 (closed by `close`)
        self.length = 0

    @property
    def duration(self) -> float:
        """Seconds."""
        return self.length / RATE

    def append(self, samples: Samples) -> None:
        """Write samples (full scale is 1.0) behind those that are there."""
        import numpy as np

        whole = np.clip(np.rint(samples * _FULL), -_FULL, _FULL).astype("<i2")
        self._file.write(whole.tobytes())
        self.length += len(whole)

    def read(self, start: int, count: int) -> Samples:
        """Return `count` samples from `start` on; zeros where there are none."""
        import numpy as np

        samples = np.zeros(max(count, 0), np.float32)
        first, last = max(start, 0), min(start + count, self.length)
        if first < last:
            self._file.seek(2 * first)
            data = self._file.read(2 * (last - first))
            samples[first - start : last - start] = np.frombuffer(data, "<i2") / _FULL
        return samples

    def close(self) -> None:
        """Give the room on the disk back."""
        self._file.close()


def listen(path: Path) -> Track:
    """Decode the sound of `path` into a track; the caller closes it.

    Raises what `intake.decode.decode` raises.
    """
    track = Track()
    try:
        for block in _halved(_filled(path)):
            track.append(block)
    except BaseException:
        track.close()
        raise
    return track


def _filled(path: Path) -> Iterator[Samples]:
    """Yield the samples without steps: what the recording left out is silence."""
    import numpy as np

    at = 0
    for stretch in decode(path):
        while at < stretch.start:
            silent = min(stretch.start - at, _ZEROS)
            yield np.zeros(silent, np.float32)
            at += silent
        yield stretch.samples
        at = stretch.end


def _halved(blocks: Iterator[Samples]) -> Iterator[Samples]:
    """Yield every second sample, with what lies above the new limit filtered off before."""
    import numpy as np

    taps = _low_pass()
    half = _TAPS // 2
    held = np.zeros(half, np.float32)  # so that sound is not late by the filter's length
    skip = 0
    for block in blocks:
        held = np.concatenate([held, block])
        if len(held) < _TAPS:
            continue
        smooth = np.convolve(held, taps, "valid")
        yield smooth[skip::_STEP].astype(np.float32)
        skip = (skip - len(smooth)) % _STEP
        held = held[len(smooth) :]
    tail = np.concatenate([held, np.zeros(half, np.float32)])
    if len(tail) >= _TAPS:
        yield np.convolve(tail, taps, "valid")[skip::_STEP].astype(np.float32)


@cache
def _low_pass() -> Samples:
    """Return a half-band filter: a sinc under a Hamming window."""
    import numpy as np

    at = np.arange(_TAPS) - _TAPS // 2
    taps = np.sinc(at / _STEP) * np.hamming(_TAPS)
    low_pass: Samples = (taps / taps.sum()).astype(np.float32)
    return low_pass
