"""Clips hold the right sound, faded and at the right loudness."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest
from ashdraft.clips import cut, cut_all
from ashdraft.clips.cut import finished
from ashdraft.clips.loudness import levelled, measure
from ashdraft.clips.sound import Sound, spans
from ashdraft.errors import NotMedia
from ashdraft.intake.decode import RATE

from tests.follow import cuts

LENGTH = 60.0
FILES = {
    "one.flac": ("flac", 44_100),
    "one.mp3": ("libmp3lame", 44_100),
    "one.m4a": ("aac", 48_000),
    "one.webm": ("libopus", 48_000),
    "one.ogg": ("libopus", 48_000),
    "one.wav": ("pcm_s16le", 16_000),
    "one.aac": ("aac", 44_100),  # no index: read from the start
}


@pytest.fixture(scope="module")
def raw() -> cuts.Sound:
    return cuts.load(cuts.NARRATION, 10, 10 + LENGTH)


@pytest.fixture(scope="module")
def folder(raw: cuts.Sound, tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("clips")
    for name, (codec, rate) in FILES.items():
        cuts.save(made / name, raw, codec, rate)
    return made


def lag(clip: cuts.Sound, raw: cuts.Sound, start: float) -> float:
    """Return the seconds by which a clip (16 kHz) is late against `start` in `raw`."""
    reach = RATE // 4
    first = int(start * RATE) - reach
    around = np.pad(raw, reach)[first + reach : first + 3 * reach + len(clip)]
    return (int(np.correlate(around, clip, "valid").argmax()) - reach) / RATE


@pytest.mark.parametrize("name", FILES)
def test_a_clip_is_what_was_said_then(folder: Path, tmp_path: Path, name: str) -> None:
    """Compared with the file as recognition hears it, from its first packet to its last."""
    heard = cuts.load(folder / name)
    wanted = [(41.3, 44.1), (12.0, 14.5), (1.0, 3.0)]
    clips = list(cut_all(folder / name, wanted))
    for (start, end), data in zip(wanted, clips, strict=True):
        path = tmp_path / f"{start}.mp3"
        path.write_bytes(data)
        clip = cuts.load(path)
        assert len(clip) / RATE == pytest.approx(end - start, abs=0.06)
        assert abs(lag(clip[: RATE + 8000], heard, start)) < 0.002


def test_one_clip_is_the_same_bytes_as_one_of_many(folder: Path) -> None:
    path = folder / "one.flac"
    assert cut(path, 12, 14) == list(cut_all(path, [(40, 42), (12, 14)]))[1]


def test_a_clip_at_the_end_is_shorter_and_one_behind_it_is_refused(folder: Path) -> None:
    (sound,) = spans(folder / "one.flac", [(59, 65)])
    assert len(sound.samples) / sound.rate == pytest.approx(1, abs=0.02)
    for name in ("one.flac", "one.aac", "one.mp3"):
        with pytest.raises(NotMedia, match="no sound at that time"):
            cut(folder / name, 100, 104)


def test_a_file_that_is_no_recording_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.mp3").write_text("no")
    with pytest.raises(NotMedia):
        cut(tmp_path / "a.mp3", 0, 1)


def test_two_channels_stay_two(tmp_path: Path) -> None:
    left = np.full((RATE, 1), 8000, np.int16)
    both = Sound(np.hstack([left, -left]), RATE)
    assert finished(both, None).channels == 2


def test_fades_last_ten_milliseconds() -> None:
    flat = Sound(np.full((RATE, 1), 10_000, np.int16), RATE)
    samples = np.frombuffer(finished(flat, None).raw_data, "<i2")
    edge = RATE // 100
    assert max(samples[0], samples[-1]) < 1_000
    assert (samples[edge:-edge] == 10_000).all()
    assert (samples[: edge // 2] < 9_000).all()


@pytest.mark.parametrize(
    ("level", "channels", "lufs"), [(-23, 2, -23), (-33, 2, -33), (-23, 1, -26)]
)
def test_meter_reads_the_published_values(level: float, channels: int, lufs: float) -> None:
    """EBU Tech 3341, minimum requirements 1 and 2: 1 kHz sine for 20 s, within 0.1 LU; one channel
    of it is 3 LU less (ITU-R BS.1770: the channels' powers are added)."""
    t = np.arange(20 * 48_000) / 48_000
    sine = 10 ** (level / 20) * np.sin(2 * np.pi * 1000 * t)
    sound = Sound(np.repeat((sine * 32767).round().astype(np.int16)[:, None], channels, 1), 48_000)
    assert measure(sound).integrated == pytest.approx(lufs, abs=0.1)
    assert measure(sound).peak == pytest.approx(level, abs=0.3)


def test_meter_agrees_with_another_implementation(raw: cuts.Sound) -> None:
    """pyloudnorm, an implementation of ITU-R BS.1770-4."""
    sound = Sound((raw[:, None] * 32767).astype(np.int16), RATE)
    theirs = pyloudnorm.Meter(RATE).integrated_loudness(sound.samples / 32768)
    assert measure(sound).integrated == pytest.approx(theirs, abs=0.3)


@pytest.mark.parametrize(("span", "target"), [((12.0, 15.0), -24), ((30.0, 36.0), -16)])
def test_a_levelled_clip_has_the_loudness_asked_for(
    folder: Path, span: tuple[float, float], target: float
) -> None:
    """-16 is what the requirement names. EBU R 128: at most -1 dBTP."""
    (sound,) = spans(folder / "one.flac", [span])
    made = levelled(sound, target)
    assert measure(made).integrated == pytest.approx(target, abs=0.5)
    assert measure(made).peak <= -0.9
    assert made.samples.shape == sound.samples.shape
    before, after = (s.samples[:, 0].astype(float) for s in (sound, made))
    reach = RATE // 100
    lags = np.correlate(after[reach:-reach], before, "valid")
    assert abs(int(lags.argmax()) - reach) <= 1  # neither late nor early
    assert lags.max() > 0.9 * np.linalg.norm(before) * np.linalg.norm(after)


def test_two_channels_are_levelled_together() -> None:
    noise = np.random.default_rng(3).normal(0, 300, (2 * RATE, 1))
    both = Sound(np.hstack([noise, noise / 4]).astype(np.int16), RATE)
    made = levelled(both, -20)
    left, right = (np.sqrt(np.mean(made.samples[:, i].astype(float) ** 2)) for i in (0, 1))
    assert left / right == pytest.approx(4, rel=0.02)
    assert measure(made).integrated == pytest.approx(-20, abs=0.5)


def test_a_shout_in_a_whisper_is_not_flattened() -> None:
    """Its peaks come down by 15 dB at the most, so the clip stays quieter than asked for."""
    sound = np.random.default_rng(4).normal(0, 20, (4 * RATE, 1))
    sound[RATE : RATE + 80] = 30_000
    made = levelled(Sound(sound.astype(np.int16), RATE), -16)
    found = measure(made)
    assert found.integrated is not None
    assert found.integrated < -20
    assert found.peak <= -0.9


def test_silence_and_moments_are_left_as_they_are() -> None:
    for samples in (
        np.zeros((RATE // 5, 1), np.int16),
        np.zeros((3 * RATE, 1), np.int16),
        np.full((RATE // 5, 1), 99, np.int16),
    ):
        assert (levelled(Sound(samples, RATE), -16).samples == samples).all()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "loudness", "most"),
    [
        ("long.m4a", None, 10),
        ("long.mp3", None, 10),
        ("long.ogg", None, 10),
        ("long.m4a", -16, 25),  # measuring and limiting each clip takes longer than cutting it
    ],
)
def test_fifty_clips_of_ninety_minutes(
    tmp_path: Path, name: str, loudness: float | None, most: float
) -> None:
    codec = {"m4a": "aac", "mp3": "libmp3lame", "ogg": "libopus"}[name.rpartition(".")[2]]
    raw = np.tile(cuts.load(cuts.NARRATION, 0, 360), 15)
    path = cuts.save(tmp_path / name, raw, codec, 48_000)
    wanted = [(at, at + 6.0) for at in np.linspace(10, 5380, 50).tolist()]
    started, used = time.perf_counter(), time.process_time()
    clips = list(cut_all(path, wanted, loudness=loudness))
    used = time.process_time() - used
    print(f"{used:.1f} s of processor time, {time.perf_counter() - started:.1f} s on the clock")
    assert used < most  # on any machine, however busy it is
    assert min(map(len, clips)) > 20_000
