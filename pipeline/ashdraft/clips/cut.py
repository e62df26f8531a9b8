"""One short clip as the bytes of a sound file."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from .loudness import gain
from .sound import Sound, checked, spans

MEDIA_TYPE = "audio/mpeg"
SUFFIX = ".mp3"
FADE_MS = 10
LONGEST = 600.0
"""Seconds; no quote is longer, and no clip takes more memory."""
_CODEC = "libmp3lame"
_QUICKLY = {"compression_level": "7"}
"""The encoder's own scale, 0 (best) to 9: a voice at these rates loses nothing to be heard."""
_BIT_RATE = {1: 80_000, 2: 128_000}


def cut(path: Path, start: float, end: float, *, loudness: float | None = None) -> bytes:
    """Return the sound of `path` between two seconds as an MP3 file, faded at both ends.

    With `loudness` (LUFS) it is levelled. Raises the errors of ashdraft.errors where `path` is no
    recording, and `NotMedia` where it holds no sound at that time.
    """
    return next(cut_all(path, [(start, end)], loudness=loudness))


def cut_all(
    path: Path, wanted: Sequence[tuple[float, float]], *, loudness: float | None = None
) -> Iterator[bytes]:
    """Yield a clip for each span in the order given; the file is opened once."""
    clipped = [(max(a, 0.0), min(b, a + LONGEST)) for a, b in wanted]
    for sound in spans(path, clipped):
        yield _encoded(finished(checked(sound, path), loudness))


def finished(sound: Sound, loudness: float | None) -> Any:
    """Return a pydub segment: levelled, then faded."""
    segment = sound.segment()
    if loudness is not None:
        segment = segment.apply_gain(gain(sound, loudness))
    fade = min(FADE_MS, len(segment) // 2)
    return segment.fade_in(fade).fade_out(fade) if fade else segment


def _encoded(segment: Any) -> bytes:
    import av
    import numpy as np

    layout = "mono" if segment.channels == 1 else "stereo"
    samples = np.frombuffer(segment.raw_data, "<i2").reshape(1, -1)
    file = io.BytesIO()
    with av.open(file, "w", format="mp3") as out:
        stream: Any = out.add_stream(
            _CODEC, rate=segment.frame_rate, layout=layout, options=_QUICKLY
        )
        stream.bit_rate = _BIT_RATE[segment.channels]
        frame = av.AudioFrame.from_ndarray(samples, format="s16", layout=layout)
        frame.sample_rate = segment.frame_rate
        resampler = av.AudioResampler(stream.codec_context.format, layout, segment.frame_rate)
        for ready in [*resampler.resample(frame), *resampler.resample(None)]:
            ready.pts = None
            out.mux(stream.encode(ready))
        out.mux(stream.encode(None))
    return file.getvalue()
