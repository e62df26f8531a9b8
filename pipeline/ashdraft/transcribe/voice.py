"""Where a recording holds speech: a cheap loudness gate first, then a neural detector.

The detector is Silero VAD (MIT), which faster-whisper bundles. On a session that is mostly
silence the gate spares it most of the work: only stretches louder than the quiet around them
are looked at, with some sound before them so that the detector has settled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ..intake.decode import Stretch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float32]
    Flags = NDArray[np.bool_]

FRAME = 512  # samples: 32 ms, the step of the detector at 16 kHz
_CONTEXT = 64  # samples before each frame that the detector sees again
_CHUNK = 960  # frames looked at together: 30.7 s

# The gate. A voice stands out from its surroundings by more than this in its loudest frames,
# even where the noise is as loud as the voice; steady noise by less (32 ms of white noise vary
# by 0.3 dB, of a narrow band by 0.8 dB).
_ABOVE_FLOOR_DB = 1.5
_ABOVE_FLOOR_MIDDLE_DB = 4.0
_HALF_PERIOD = 8  # samples of 1 kHz
_FLOOR_SHARE = 10  # the quietest tenth of a chunk is its floor
_PRE_EMPHASIS = 0.97  # takes wind and rumble down
_BEFORE = 24  # frames
_AFTER = 16

# The detector answers alike from ordinary loudness down to 40 dB below it; quieter recordings
# are raised to this peak. Noise is not taken for speech however far it is raised.
_PEAK = 0.25
_PEAK_SHARE = 99.9
_MOST_GAIN = 1000.0


def probabilities(stretches: Iterable[Stretch]) -> Floats:
    """How likely each 32 ms frame is speech (0 to 1), from the recording's first sample on.

    Frames that the gate closed, and those the recording left out, are 0. Memory does not grow
    with the recording but for the result (4 bytes for each frame).
    """
    import numpy as np

    detector = _Detector()
    parts = [detector.feed(chunk) for chunk in _chunks(stretches)]
    return np.concatenate([*parts, detector.finish()])


def _chunks(stretches: Iterable[Stretch]) -> Iterator[Floats]:
    """Samples in chunks of one size, each valid until the next; what was left out is silence."""
    import numpy as np

    chunk = np.zeros(_CHUNK * FRAME, dtype=np.float32)
    base = 0
    for stretch in stretches:
        at = stretch.start
        while at < stretch.end:
            if at >= base + len(chunk):
                yield chunk
                chunk.fill(0)
                base += len(chunk)
                continue
            end = min(stretch.end, base + len(chunk))
            chunk[at - base : end - base] = stretch.samples[
                at - stretch.start : end - stretch.start
            ]
            at = end
    yield chunk


class _Detector:
    """Gate and neural detector over consecutive chunks; answers `_BEFORE` frames late."""

    _h: Floats
    _c: Floats
    _tail: Floats

    def __init__(self) -> None:
        import numpy as np
        from faster_whisper.vad import get_vad_model

        self._session = get_vad_model().session
        self._waiting = np.zeros((0, FRAME), dtype=np.float32)
        self._loud = np.zeros(_AFTER, dtype=np.bool_)
        self._forget()
        self._open = False  # whether the last frame decided was listened to

    def feed(self, chunk: Floats) -> Floats:
        """Probabilities of the frames that can be decided with this chunk (whole frames)."""
        import numpy as np

        frames = np.concatenate([self._waiting, chunk.reshape(-1, FRAME)])
        self._loud = np.concatenate([self._loud, _stands_out(chunk)])
        return self._decide(frames, len(frames) - _BEFORE, _gain(chunk))

    def finish(self) -> Floats:
        """The frames still waiting for what comes after them: nothing does."""
        import numpy as np

        self._loud = np.concatenate([self._loud, np.zeros(_BEFORE, dtype=np.bool_)])
        return self._decide(self._waiting, len(self._waiting), _gain(self._waiting.ravel()))

    def _decide(self, frames: Floats, count: int, gain: float) -> Floats:
        import numpy as np

        reach = _AFTER + _BEFORE + 1
        near = np.convolve(self._loud, np.ones(reach, dtype=np.int32), "valid")[:count] > 0
        found = np.zeros(count, dtype=np.float32)
        for start, end in runs(near):
            if start > 0 or not self._open:
                self._forget()
            found[start:end] = self._listen(frames[start:end] * np.float32(gain))
        self._open = bool(count and near[-1])
        self._waiting = frames[count:].copy()
        self._loud = self._loud[count:]
        return found

    def _listen(self, frames: Floats) -> Floats:
        import numpy as np

        before = np.vstack([self._tail, frames[:-1, -_CONTEXT:]])
        output, self._h, self._c = self._session.run(
            None, {"input": np.hstack([before, frames]), "h": self._h, "c": self._c}
        )
        self._tail = frames[-1, -_CONTEXT:].copy()
        heard: Floats = output.reshape(-1)
        return heard

    def _forget(self) -> None:
        import numpy as np

        self._h = self._c = np.zeros((1, 1, 128), dtype=np.float32)
        self._tail = np.zeros(_CONTEXT, dtype=np.float32)


def runs(flags: Flags) -> list[tuple[int, int]]:
    """The stretches (start, end) in which `flags` are true."""
    import numpy as np

    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    return [(int(start), int(end)) for start, end in edges.reshape(-1, 2)]


def _stands_out(chunk: Floats) -> Flags:
    """Frames louder than the quiet around them, in high sounds or around 1 kHz.

    Wind and rumble are in neither; hiss hides a voice among high sounds, hardly at 1 kHz.
    """
    import numpy as np

    sharp = np.empty_like(chunk)
    sharp[0] = chunk[0]
    np.subtract(chunk[1:], _PRE_EMPHASIS * chunk[:-1], out=sharp[1:])
    middle = np.zeros_like(chunk)
    np.subtract(chunk[_HALF_PERIOD:], chunk[:-_HALF_PERIOD], out=middle[_HALF_PERIOD:])
    middle[3:] = middle[3:] + middle[2:-1] + middle[1:-2] + middle[:-3]
    return _above_floor(sharp, _ABOVE_FLOOR_DB) | _above_floor(middle, _ABOVE_FLOOR_MIDDLE_DB)


def _above_floor(sound: Floats, decibels: float) -> Flags:
    import numpy as np

    frames = sound.reshape(-1, FRAME)
    loudness = 10 * np.log10(np.maximum(np.einsum("ij,ij->i", frames, frames) / FRAME, 1e-12))
    above: Flags = loudness > np.percentile(loudness, _FLOOR_SHARE) + decibels
    return above


def _gain(samples: Floats) -> float:
    import numpy as np

    if not len(samples):
        return 1.0
    peak = float(np.percentile(np.abs(samples), _PEAK_SHARE))
    return min(_PEAK / peak, _MOST_GAIN) if peak > 0 else 1.0
