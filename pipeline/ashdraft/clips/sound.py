"""Short spans out of a long recording, without decoding what lies between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import NotMedia
from ..intake.decode import RATE, decode
from ..intake.level import segment_class
from ..intake.media import Media, opened
from ..intake.names import shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Pcm = NDArray[np.int16]

_SEEKABLE = ("mov", "matroska", "wav", "w64", "flac", "ogg", "mp3", "aiff", "caf")
"""Containers in which a place is found by its time stamp; others are read from the start."""
_RATES = (8_000, 11_025, 12_000, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000)
_USUAL = 48_000
_RUN_UP = 1.0
_SLACK = 0.04
_FULL = 32_767


@dataclass(frozen=True, slots=True)
class Sound:
    """16-bit samples, one row each and a column a channel (one or two)."""

    samples: Pcm
    rate: int

    def segment(self) -> Any:
        """Return it as a pydub segment."""
        channels = self.samples.shape[1]
        data = self.samples.astype("<i2").tobytes()
        return segment_class()(data, frame_rate=self.rate, sample_width=2, channels=channels)


def spans(path: Path, wanted: Sequence[tuple[float, float]]) -> Iterator[Sound]:
    """Yield the sound of each span (seconds from and to), in the order given.

    At the recording's own sample rate, in one channel or two, where it can be sought in; else
    as recognition hears it, at 16 kHz. What lies outside the recording is left out, so a span may
    come out shorter, or empty. Raises what `intake.media.opened` raises.
    """
    with opened(path) as media:
        found: list[Sound | None] = [None] * len(wanted)
        if media.container.format.name.startswith(_SEEKABLE):
            for at, span in enumerate(wanted):
                sound = _sought(media, *span)
                if sound is None:
                    break
                yield sound
                found[at] = sound
    left = [span for span, sound in zip(wanted, found, strict=True) if sound is None]
    yield from _heard(path, left)


def _sought(media: Media, start: float, end: float) -> Sound | None:
    """Return a span found by seeking, None where seeking leads behind its start."""
    import av.error
    import numpy as np

    container, stream = media.container, media.stream
    if container.start_time is None:
        return None
    zero = container.start_time / 1_000_000
    try:
        container.seek(round(max(start - _RUN_UP + zero, zero) * 1_000_000))
    except (av.error.FFmpegError, OSError):
        return None
    gather = _Gather(stream.codec_context.sample_rate, stream.codec_context.layout.nb_channels)
    for packet in media.packets():
        try:
            frames = stream.codec_context.decode(packet)
        except (av.error.FFmpegError, ValueError):
            continue
        for frame in frames:
            if frame.pts is None or frame.time_base is None:
                return None
            at = float(frame.pts * frame.time_base) - zero
            if gather.first is None and at > max(start, 0.0) + _SLACK and start > _SLACK:
                return None
            gather.add(frame, at)
        if gather.end >= end:
            break
    samples = gather.taken()
    first = gather.first if gather.first is not None else 0.0
    begin, finish = (max(round((t - first) * gather.rate), 0) for t in (start, end))
    return Sound(np.ascontiguousarray(samples[begin:finish]), gather.rate)


class _Gather:
    """Frames in a row as 16-bit samples; steps in time become silence."""

    def __init__(self, rate: int, channels: int) -> None:
        import av

        self.rate = rate if rate in _RATES else _USUAL
        self.channels = min(max(channels, 1), 2)
        self.first: float | None = None
        self.end = 0.0
        self._pieces: list[Pcm] = []
        self._count = 0
        layout = "mono" if self.channels == 1 else "stereo"
        self._resampler = av.AudioResampler("s16", layout, self.rate)

    def add(self, frame: Any, at: float) -> None:
        import numpy as np

        if self.first is None:
            self.first = self.end = at
        if at - self.end > _SLACK:
            missing = round((at - self.end) * self.rate)
            self._keep(np.zeros((missing, self.channels), np.int16))
        self.end = at + frame.samples / frame.sample_rate
        frame.pts = None
        for ready in self._resampler.resample(frame):
            self._keep(ready.to_ndarray().reshape(-1, self.channels))

    def taken(self) -> Pcm:
        import numpy as np

        if self.first is not None:
            for ready in self._resampler.resample(None):
                self._keep(ready.to_ndarray().reshape(-1, self.channels))
        return np.concatenate([np.zeros((0, self.channels), np.int16), *self._pieces])

    def _keep(self, samples: Any) -> None:
        self._pieces.append(samples)


def _heard(path: Path, wanted: Sequence[tuple[float, float]]) -> Iterator[Sound]:
    """Return spans as recognition hears them, in one walk through the file."""
    import numpy as np

    bounds = [(max(round(a * RATE), 0), max(round(b * RATE), 0)) for a, b in wanted]
    out = [np.zeros((max(b - a, 0), 1), np.int16) for a, b in bounds]
    reached = 0
    if bounds:
        for stretch in decode(path, spans=sorted(bounds)):
            reached = max(reached, stretch.end)
            whole = np.clip(np.rint(stretch.samples * _FULL), -_FULL, _FULL).astype(np.int16)
            for (first, last), samples in zip(bounds, out, strict=True):
                begin, finish = max(first, stretch.start), min(last, stretch.end)
                if begin < finish:
                    piece = whole[begin - stretch.start : finish - stretch.start]
                    samples[begin - first : finish - first, 0] = piece
    for (first, _), samples in zip(bounds, out, strict=True):
        yield Sound(samples[: max(reached - first, 0)], RATE)


def checked(sound: Sound, path: Path) -> Sound:
    """Return the sound. Raises `NotMedia` where there is none."""
    if not len(sound.samples):
        raise NotMedia(
            f"{shown(path)} holds no sound at that time.",
            "Name the recording that the notes were made from.",
        )
    return sound
