"""Decoding any recording to mono 16 kHz float samples as a stream, in flat memory."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .media import RATES, opened
from .stamp import Stamp, stamp_of, unchanged

if TYPE_CHECKING:
    import numpy as np
    from av.audio.frame import AudioFrame
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

RATE = 16_000
# Source samples gathered before resampling: one frame at a time costs twice the processor time.
_GATHER = 100_000
# A stamp this far (seconds) from where the samples have got to starts a new stretch.
_SLACK = 0.04
# Packets decoded ahead of a wanted span (seconds), so that the decoder has settled.
_RUN_UP = 1.0
_RUN_OUT = 0.3
# Twice the longest day of recording: no header can make decoding endless.
_LONGEST = 48 * 3600.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Consecutive mono samples at 16 kHz, float32 (full scale is 1.0, floats may exceed it).

    `start` is the first sample's index on the recording's own timeline. Stretches come in
    order and never overlap; a step between two of them is silence the recording left out.
    """

    start: int
    samples: Samples

    @property
    def end(self) -> int:
        return self.start + len(self.samples)


@dataclass(slots=True)
class Damage:
    """How many packets were read, and how many of them could not be decoded."""

    lost: int = 0
    read: int = 0

    def notice(self, name: str) -> str:
        """What to tell the user about the recording `name`; empty when nothing was lost."""
        if not self.lost:
            return ""
        return (
            f"{name} is damaged: {self.lost} of {self.read} pieces of its sound could not be"
            " decoded and were left out."
        )


def decode(
    path: Path,
    damage: Damage | None = None,
    spans: Sequence[tuple[int, int]] | None = None,
    since: Stamp | None = None,
) -> Iterator[Stretch]:
    """Decode the sound track of `path`; damaged packets are stepped over and counted.

    With `spans` (sample ranges in order) only packets near them are decoded, which makes a
    second look at a mostly silent recording cheap. Raises what `media.opened` raises, and
    InputMissing when the file changes while it is read, or has changed `since` it was summed.
    """
    import av.error

    damage = damage if damage is not None else Damage()
    before = since or stamp_of(path)
    with opened(path) as media:
        clock = media.clock()
        decoder = media.stream.codec_context
        decoder.thread_type = "NONE"
        gather = _Gather()
        wanted = _Wanted(spans or ())
        resting = False
        for packet in media.packets():
            start = clock.place(packet)
            if start > _LONGEST:
                break
            if spans is not None and not wanted.near(start, clock.end):
                resting = True
                continue
            if resting:
                decoder.flush_buffers()
                resting = False
            damage.read += 1
            try:
                frames = decoder.decode(packet)
            except (av.error.FFmpegError, ValueError):
                damage.lost += 1
                continue
            for frame in frames:
                yield from gather.add(frame, clock.seconds(frame.pts))
        try:
            for frame in decoder.decode(None):
                yield from gather.add(frame, clock.seconds(frame.pts))
        except av.error.FFmpegError:
            damage.lost += 1
        yield from gather.flush()
    unchanged(path, before)


class _Wanted:
    """Whether a packet lies near one of the spans; asked in file order."""

    def __init__(self, spans: Sequence[tuple[int, int]]) -> None:
        self._spans = spans
        self._at = 0

    def near(self, start: float, end: float) -> bool:
        while self._at < len(self._spans):
            first, last = self._spans[self._at]
            if start <= last / RATE + _RUN_OUT:
                return end >= first / RATE - _RUN_UP
            self._at += 1
        return False


class _Gather:
    """Collects decoded frames, resamples them in large pieces and keeps their true places."""

    def __init__(self) -> None:
        self._kind: tuple[str, int, int] | None = None
        self._fifo: Any = None
        self._resampler: Any = None
        self._next = 0.0  # seconds at which the next frame is expected
        self._place = 0  # output sample index of the next resampled sample

    def add(self, frame: AudioFrame, seconds: float | None) -> Sequence[Stretch]:
        rate, count = frame.sample_rate, frame.samples
        if not count or rate not in RATES:
            return ()
        ready: Sequence[Stretch] = ()
        if seconds is None:
            seconds = self._next
        frame.pts = None
        # Compared here: the queue itself lets a change from one channel to two pass, and crashes.
        kind = (frame.format.name, frame.layout.nb_channels, rate)
        if kind != self._kind or abs(seconds - self._next) > _SLACK:
            ready = self.flush()
            self._begin(max(seconds, 0.0))
            self._kind = kind
        self._fifo.write(frame)
        self._next += count / rate
        if self._fifo.samples >= _GATHER:
            ready = [*ready, *self._resample(self._fifo.read())]
        return ready

    def flush(self) -> list[Stretch]:
        if self._fifo is None:
            return []
        ready = self._resample(self._fifo.read()) if self._fifo.samples else []
        ready += self._resample(None)
        self._fifo = self._resampler = self._kind = None
        return ready

    def _begin(self, seconds: float) -> None:
        import av

        self._fifo = av.AudioFifo()
        self._resampler = av.AudioResampler(format="fltp", layout="mono", rate=RATE)
        self._place = max(self._place, round(seconds * RATE))
        self._next = seconds

    def _resample(self, frame: AudioFrame | None) -> list[Stretch]:
        import numpy as np

        ready = []
        for piece in self._resampler.resample(frame):
            samples = np.nan_to_num(piece.to_ndarray()[0], posinf=1.0, neginf=-1.0)
            ready.append(Stretch(self._place, samples))
            self._place += len(samples)
        return ready
