"""Real media files, written by PyAV in every format that Ashdraft says it reads."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]


@dataclass(frozen=True)
class Kind:
    """A container with a sound track, and a picture if `video` names a codec."""

    suffix: str
    codec: str
    rate: int
    layout: str = "mono"
    format: str | None = None  # sample format, where the codec leaves a choice
    video: str | None = None
    bit_rate: int | None = None

    def __str__(self) -> str:
        parts = [self.suffix, self.codec, str(self.rate), self.layout, self.video or ""]
        return "-".join(part for part in parts if part)


KINDS = (
    Kind("wav", "pcm_u8", 8_000),
    Kind("wav", "pcm_s16le", 22_050),
    Kind("wav", "pcm_s24le", 96_000, "stereo"),
    Kind("wav", "pcm_f32le", 192_000),
    Kind("wav", "pcm_f64le", 11_025, "stereo"),
    Kind("wav", "pcm_s16le", 48_000, "5.1"),
    Kind("flac", "flac", 48_000, "7.1", format="s16"),
    Kind("flac", "flac", 192_000, format="s32"),
    Kind("mp3", "libmp3lame", 44_100, "stereo"),
    Kind("mp3", "libmp3lame", 8_000),
    Kind("m4a", "aac", 44_100),
    Kind("m4a", "alac", 44_100, "stereo"),
    Kind("aac", "aac", 48_000),
    Kind("ogg", "libopus", 48_000),
    Kind("opus", "libopus", 16_000),
    Kind("webm", "libopus", 48_000, "stereo"),
    Kind("amr", "libopencore_amrnb", 8_000, bit_rate=12_200),
    Kind("3gp", "libopencore_amrnb", 8_000, bit_rate=12_200),
    Kind("3gp", "aac", 16_000, video="h263"),
    Kind("mp4", "aac", 48_000, "stereo", video="libx264"),
    Kind("mov", "pcm_s16le", 48_000, "stereo", video="mpeg4"),
    Kind("mkv", "aac", 44_100, video="mpeg4"),
    Kind("webm", "libopus", 48_000, video="libvpx"),
)


def write_media(
    path: Path,
    samples: Samples | None,
    kind: Kind,
    tags: dict[str, str] | None = None,
    options: dict[str, str] | None = None,
) -> Path:
    """Write mono `samples` (at `kind.rate`, full scale 1.0; None: no sound track) as `kind`.

    `options` are the muxer's (FFmpeg's names).
    """
    seconds = 1.0 if samples is None else len(samples) / kind.rate
    with av.open(str(path), "w", options=options) as out:
        out.metadata.update(tags or {})
        picture = None
        if kind.video:
            picture = out.add_stream(kind.video, rate=10)
            if kind.video == "libvpx":
                picture.options = {"deadline": "realtime", "cpu-used": "8"}
            picture.width, picture.height, picture.pix_fmt = 176, 144, "yuv420p"
        sound = None
        if samples is not None:
            sound = out.add_stream(kind.codec, rate=kind.rate)
            sound.layout = kind.layout
            if kind.format:
                sound.format = kind.format
            if kind.bit_rate:
                sound.bit_rate = kind.bit_rate
        for number in range(int(seconds * 10) if picture else 0):
            image = np.full((144, 176, 3), number * 7 % 256, dtype=np.uint8)
            frame = av.VideoFrame.from_ndarray(image, format="rgb24")
            out.mux(picture.encode(frame))  # type: ignore[union-attr]
        if picture:
            out.mux(picture.encode(None))
        if sound is not None:
            for frame in _frames(samples, sound, kind):
                out.mux(sound.encode(frame))
            out.mux(sound.encode(None))
    return path


def _frames(samples: Samples, sound: av.AudioStream, kind: Kind) -> list[av.AudioFrame]:
    channels = sound.codec_context.layout.nb_channels
    packed = np.repeat(samples[:, None], channels, axis=1).astype(np.float32).reshape(1, -1)
    size = sound.codec_context.frame_size or 1024
    resampler = av.AudioResampler(
        format=sound.codec_context.format.name,
        layout=kind.layout,
        rate=kind.rate,
        frame_size=size,
    )
    whole = av.AudioFrame.from_ndarray(packed, format="flt", layout=kind.layout)
    whole.sample_rate = kind.rate
    whole.pts = 0
    return [*resampler.resample(whole), *resampler.resample(None)]


def bursts(rate: int, at: tuple[float, ...], seconds: float, level: float = 0.4) -> Samples:
    """Silence with 0.2 s tones of 440 Hz that begin at the seconds in `at`."""
    sound = np.zeros(round(seconds * rate), dtype=np.float32)
    tone = level * np.sin(2 * np.pi * 440 * np.arange(round(0.2 * rate)) / rate)
    for start in at:
        first = round(start * rate)
        sound[first : first + len(tone)] += tone.astype(np.float32)
    return sound
