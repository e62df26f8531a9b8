"""Decoding to mono 16 kHz: each format, its times, gaps, odd sample values, damage, memory."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest
from ashdraft.errors import InputMissing
from ashdraft.intake.decode import RATE, Damage, Stretch, decode
from ashdraft.intake.media import probe

from .media import KINDS, Kind, Samples, bursts, write_media

AT = (0.5, 1.6, 2.7)
WAV = Kind("wav", "pcm_s16le", 16_000)
SPANNED = ("mp3-libmp3lame-8000-mono", "m4a-aac-44100-mono", "ogg-libopus-48000-mono",
           "amr-libopencore_amrnb-8000-mono")  # fmt: skip


def whole(stretches: list[Stretch]) -> Samples:
    """Everything on one array from the recording's first sample."""
    sound = np.zeros(stretches[-1].end, dtype=np.float32)
    for stretch in stretches:
        sound[stretch.start : stretch.end] = stretch.samples
    return sound


def onsets(sound: Samples) -> list[float]:
    """Seconds at which loud stretches begin (10 ms steps, at least 0.3 s apart)."""
    steps = np.abs(sound[: len(sound) // 160 * 160]).reshape(-1, 160).max(axis=1)
    loud = np.flatnonzero(steps > steps.max() * 0.3) / 100
    return [
        float(t) for t, before in zip(loud, [-1.0, *loud[:-1]], strict=True) if t - before > 0.3
    ]


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_decode_every_format_keeps_length_and_times(kind: Kind, tmp_path: Path) -> None:
    path = write_media(tmp_path / f"a.{kind.suffix}", bursts(kind.rate, AT, 3.5), kind)
    stretches = list(decode(path))
    sound = whole(stretches)
    assert sound.dtype == np.float32
    # Lossy codecs pad to whole frames and AMR looks ahead 5 ms; 60 ms is a tenth of a syllable's
    # pause and far below what captions show.
    assert len(sound) / RATE == pytest.approx(3.5, abs=0.15)
    assert onsets(sound) == pytest.approx(AT, abs=0.06)
    assert probe(path).duration == pytest.approx(3.5, abs=0.15)
    # Channels are added up when they are mixed down (levelling comes later): never cancelled.
    assert 0.25 < np.abs(sound).max() < 2.5


def test_decode_stretches_never_overlap_and_are_small(tmp_path: Path) -> None:
    path = write_media(tmp_path / "a.wav", bursts(16_000, AT, 60.0), WAV)
    end = 0
    for stretch in decode(path):
        assert stretch.start >= end
        assert len(stretch.samples) <= 10 * RATE
        end = stretch.end
    assert end == 60 * RATE


def test_decode_integer_samples_are_exact(tmp_path: Path) -> None:
    ramp = (np.arange(-16000, 16000) / 32768).astype(np.float32)
    path = write_media(tmp_path / "a.wav", ramp, WAV)
    assert np.abs(whole(list(decode(path))) - ramp).max() <= 1 / 32768


def test_decode_float_beyond_full_scale_is_kept_and_nan_is_not(tmp_path: Path) -> None:
    sound = bursts(16_000, AT, 3.0, level=3.0)
    sound[100:110] = np.nan
    sound[200] = np.inf
    path = write_media(tmp_path / "a.wav", sound, Kind("wav", "pcm_f32le", 16_000))
    heard = whole(list(decode(path)))
    assert np.isfinite(heard).all()
    assert np.abs(heard).max() == pytest.approx(3.0, abs=0.01)


def test_decode_keeps_a_gap_that_the_time_stamps_show(tmp_path: Path) -> None:
    path = tmp_path / "paused.mka"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("pcm_s16le", rate=16_000)
        stream.layout = "mono"
        for start in (0, 1, 9, 10):  # seconds: recording was paused from 2 to 9
            frame = av.AudioFrame.from_ndarray(
                (bursts(16_000, (0.1,), 1.0)[None] * 32767).astype(np.int16), "s16", "mono"
            )
            frame.sample_rate, frame.pts = 16_000, start * 16_000
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    assert onsets(whole(list(decode(path)))) == pytest.approx((0.1, 1.1, 9.1, 10.1), abs=0.02)
    assert probe(path).duration == pytest.approx(11.0, abs=0.05)


def test_decode_sound_that_starts_after_the_picture_keeps_its_place(tmp_path: Path) -> None:
    path = tmp_path / "late.mkv"
    with av.open(str(path), "w") as out:
        picture = out.add_stream("mpeg4", rate=10)
        picture.width, picture.height, picture.pix_fmt = 64, 64, "yuv420p"
        stream = out.add_stream("pcm_s16le", rate=16_000)
        stream.layout = "mono"
        for _ in range(30):
            blank = np.zeros((64, 64, 3), dtype=np.uint8)
            out.mux(picture.encode(av.VideoFrame.from_ndarray(blank, format="rgb24")))
        out.mux(picture.encode(None))
        tone = (bursts(16_000, (0.5,), 1.0)[None] * 32767).astype(np.int16)
        frame = av.AudioFrame.from_ndarray(tone, "s16", "mono")
        frame.sample_rate, frame.pts = 16_000, 2 * 16_000
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    assert onsets(whole(list(decode(path)))) == pytest.approx((2.5,), abs=0.02)


@pytest.mark.parametrize("kind", [k for k in KINDS if str(k) in SPANNED], ids=str)
def test_decode_of_spans_gives_the_same_sound_there(kind: Kind, tmp_path: Path) -> None:
    rng = np.random.default_rng(5)
    sound = bursts(kind.rate, tuple(range(1, 19, 2)), 20.0)
    sound += rng.standard_normal(len(sound)).astype(np.float32) * 0.01
    path = write_media(tmp_path / f"a.{kind.suffix}", sound, kind)
    full = whole(list(decode(path)))
    spans = [(5 * RATE, 6 * RATE), (11 * RATE, 12 * RATE)]
    pieces = list(decode(path, spans=spans))
    assert sum(len(piece.samples) for piece in pieces) < len(full) / 2
    part = np.zeros_like(full)
    for piece in pieces:
        part[piece.start : piece.end] = piece.samples
    for first, last in spans:
        # Decoders with a memory, and the resampler, start anew a second before a span.
        assert np.corrcoef(part[first:last], full[first:last])[0, 1] > 0.98
        assert np.abs(part[first:last]).sum() == pytest.approx(np.abs(full[first:last]).sum(), 0.01)


def test_decode_steps_over_damage_and_counts_it(tmp_path: Path) -> None:
    kind = Kind("m4a", "aac", 16_000)
    rng = np.random.default_rng(1)
    noise = rng.standard_normal(16_000 * 20).astype(np.float32) * 0.1
    path = write_media(tmp_path / "a.m4a", noise, kind)
    data = bytearray(path.read_bytes())
    middle = data.index(b"mdat") + 50_000
    data[middle : middle + 5000] = rng.bytes(5000)
    path.write_bytes(data)
    damage = Damage()
    heard = whole(list(decode(path, damage)))
    assert 1 <= damage.lost < damage.read / 4
    assert damage.notice("a.m4a").startswith("a.m4a is damaged")
    assert len(heard) / RATE == pytest.approx(20.0, abs=0.2)
    assert Damage().notice("a.m4a") == ""


def test_decode_follows_a_change_of_channels_and_rate(tmp_path: Path) -> None:
    # MP3 frames stand alone: files joined end to end play on, whatever changes between them.
    path = tmp_path / "joined.mp3"
    kinds = [
        Kind("mp3", "libmp3lame", 44_100),
        Kind("mp3", "libmp3lame", 44_100, "stereo"),
        Kind("mp3", "libmp3lame", 22_050),
    ]
    for number, kind in enumerate(kinds):
        part = write_media(tmp_path / f"{number}.mp3", bursts(kind.rate, (0.5,), 1.5), kind)
        with path.open("ab") as out:
            out.write(part.read_bytes())
    sound = whole(list(decode(path)))
    assert len(sound) / RATE == pytest.approx(4.5, abs=0.4)
    assert len(onsets(sound)) == 3


def test_decode_notices_a_file_that_grows(tmp_path: Path) -> None:
    path = write_media(tmp_path / "a.wav", bursts(16_000, AT, 3.0), WAV)
    stretches = decode(path)
    next(stretches)
    with path.open("ab") as file:
        file.write(b"\0" * 100)
    with pytest.raises(InputMissing, match="changed while"):
        list(stretches)
