"""Cuts that the tests make are followed back: every place within 0.3 s (the requirement).

The sounds are the bundled recordings. What the matching rests on is published (Wang 2003 for
landmarks, Knapp and Carter 1976 for the distance, Viterbi 1967 for the path); the answers are
known because the tests cut the sound themselves.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from ashdraft.errors import UsageError
from ashdraft.export.sources import Source
from ashdraft.follow import Cut, Passage, follow
from ashdraft.intake.decode import RATE
from ashdraft.model import Recording

from tests.follow import cuts
from tests.follow.cuts import Piece, Sound

LENGTH = 80.0
PLACE = 0.05  # seconds; the requirement is 0.3
EDGE = 0.3


@pytest.fixture(scope="module")
def raw() -> Sound:
    return cuts.load(cuts.NARRATION, 0, LENGTH)


@pytest.fixture(scope="module")
def source(raw: Sound, tmp_path_factory: pytest.TempPathFactory) -> Source:
    path = tmp_path_factory.mktemp("raw") / "raw.flac"
    cuts.save(path, raw, "flac", 48_000)
    return Source(Recording(path.name, "0" * 64, 100.0, LENGTH), path)


def check(cut: Cut, sound: Sound, truth: list[Piece], offset: float = 100.0) -> None:
    """Where somebody speaks, the passage there has the true distance; foreign sound has none.

    `sound` is the cut before music. Pauses are left out: under music nothing tells them apart.
    """
    level = cuts.speech_level(sound)
    for piece in truth:
        for at in np.arange(piece.start + EDGE, piece.end - EDGE, 0.1):
            here = [p for p in cut.passages if p.start <= at < p.end]
            around = sound[int((at - 0.05) * RATE) : int((at + 0.05) * RATE)]
            if piece.source is None:
                inside = piece.start + 0.8 < at < piece.end - 0.8
                assert not (here and inside), f"{at:.1f} s is foreign"
                assert not inside or any(s.start <= at < s.end for s in cut.unknown)
            elif np.sqrt(np.mean(around**2)) > level / 3:
                assert here, f"{at:.1f} s is lost"
                expected = piece.source - piece.start + offset
                assert here[0].distance == pytest.approx(expected, abs=PLACE)


def test_swapped_passages_under_music_at_another_level_and_rate(
    raw: Sound, source: Source, tmp_path: Path
) -> None:
    spans = cuts.cut_points(raw, [5, 15, 22, 32, 40, 50, 58, 70])
    order = [3, 0, 5, 1, 6]
    sound, truth = cuts.assemble(raw, [spans[i] for i in order])
    mixed = cuts.with_music(0.4 * sound, below_db=6)
    video = cuts.save(tmp_path / "cut.mp3", mixed, "libmp3lame", 44_100)
    cut = follow([source], video)
    check(cut, sound, truth)
    assert sum(s.length for s in cut.unknown) < 2
    assert cut.video.duration == pytest.approx(len(sound) / RATE, abs=0.05)


def test_a_passage_said_twice_and_one_from_elsewhere(
    raw: Sound, source: Source, tmp_path: Path
) -> None:
    one, _, three = cuts.cut_points(raw, [10, 24, 40, 55])
    foreign = cuts.load(cuts.LIVE, 230, 250)[: 6 * RATE]
    silence = np.zeros(2 * RATE, np.float32)
    sound, truth = cuts.assemble(raw, [one, foreign, three, one, silence])
    video = cuts.save(tmp_path / "cut.m4a", sound, "aac", 48_000)
    check(follow([source], video), sound, truth)


@pytest.mark.parametrize(
    ("name", "codec", "rate"),
    [
        ("cut.webm", "libopus", 48_000),
        ("cut.wav", "pcm_s16le", 8000),
    ],
)
def test_another_codec_upside_down(
    raw: Sound, source: Source, tmp_path: Path, name: str, codec: str, rate: int
) -> None:
    spans = cuts.cut_points(raw, [50, 60, 70])
    sound, truth = cuts.assemble(raw, spans[::-1])
    video = cuts.save(tmp_path / name, -sound, codec, rate, 32_000)
    check(follow([source], video), sound, truth)


def test_two_recordings_and_an_uncut_video(raw: Sound, tmp_path: Path) -> None:
    parts = raw[: 25 * RATE], raw[25 * RATE : 50 * RATE]
    found = [
        Source(
            Recording(f"{i}.flac", "0" * 64, offset, 25.0),
            cuts.save(tmp_path / f"{i}.flac", part, "flac", 16_000),
        )
        for i, (part, offset) in enumerate(zip(parts, (0.0, 3600.0), strict=True))
    ]
    cut = follow(found, cuts.save(tmp_path / "cut.flac", raw[: 50 * RATE], "flac", 44_100))
    assert [p.recording for p in cut.passages] == [0, 1]
    assert cut.passages[0].distance == pytest.approx(0, abs=PLACE)
    assert cut.passages[1].distance == pytest.approx(3575, abs=PLACE)


def test_what_was_laid_over_speech_is_not_found(raw: Sound, source: Source, tmp_path: Path) -> None:
    sound = raw[20 * RATE : 60 * RATE].copy()
    sound[15 * RATE : 20 * RATE] = cuts.load(cuts.LIVE, 230, 250)[: 5 * RATE]
    cut = follow([source], cuts.save(tmp_path / "cut.flac", sound, "flac", 16_000))
    (lost,) = cut.unknown
    assert not lost.pause
    assert lost.start == pytest.approx(15, abs=1)
    assert lost.end == pytest.approx(20, abs=1)


@pytest.mark.parametrize("what", ["another voice", "music", "silence", "noise", "a moment"])
def test_nothing_in_common_is_said(source: Source, tmp_path: Path, raw: Sound, what: str) -> None:
    sound = {
        "another voice": cuts.load(cuts.LIVE, 230, 250),
        "music": 0.1 * cuts.music(20 * RATE),
        "silence": np.zeros(5 * RATE, np.float32),
        "noise": 0.1 * np.random.default_rng(1).standard_normal(20 * RATE).astype(np.float32),
        "a moment": raw[30 * RATE : 30 * RATE + RATE // 50],
    }[what]
    with pytest.raises(UsageError, match="Nothing of the sound"):
        follow([source], cuts.save(tmp_path / "cut.flac", sound, "flac", 16_000))


ALONE = """
import json, sys
from dataclasses import asdict
from pathlib import Path
from ashdraft.export.sources import Source
from ashdraft.follow import follow
from ashdraft.model import Recording
raw, video, length = Path(sys.argv[1]), Path(sys.argv[2]), float(sys.argv[3])
cut = follow([Source(Recording(raw.name, "0" * 64, 0.0, length), raw)], video)
status = Path("/proc/self/status")  # ru_maxrss would hold the parent's peak (Linux, getrusage)
text = status.read_text() if status.exists() else "VmHWM: 0 kB"
peak = int(text.partition("VmHWM:")[2].split()[0])
print(json.dumps([peak, [asdict(p) for p in cut.passages]]))
"""


@pytest.mark.slow
def test_ninety_minutes_against_fourteen_in_a_minute(tmp_path: Path) -> None:
    """Both bundled recordings, once as they are and once faster (so that nothing is twice)."""
    whole = np.concatenate([cuts.load(cuts.LIVE), cuts.load(cuts.NARRATION)])
    step = 60 * RATE
    faster = [
        np.interp(np.arange(0, len(part), 1.03), np.arange(len(part)), part).astype(np.float32)
        for part in (whole[at : at + step] for at in range(0, len(whole), step))
    ]
    raw = np.concatenate([whole, *faster])[: 90 * 60 * RATE]
    length = len(raw) / RATE
    assert length > 85 * 60
    spans = cuts.cut_points(raw, np.arange(10, length - 10, 23).tolist())
    loud = sorted(spans, key=lambda s: -cuts.speech_level(raw[int(s[0] * RATE) : int(s[1] * RATE)]))
    chosen = [loud[i] for i in np.random.default_rng(7).permutation(40)]
    sound, truth = cuts.assemble(raw, chosen)
    assert len(sound) > 14 * 60 * RATE
    video = cuts.save(tmp_path / "cut.m4a", cuts.with_music(sound, 6), "aac", 44_100)
    path = cuts.save(tmp_path / "raw.m4a", raw, "aac", 48_000)
    started = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", ALONE, str(path), str(video), str(length)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert time.perf_counter() - started < 60
    kilobytes, rows = json.loads(done.stdout)
    assert kilobytes < 300_000
    passages = tuple(Passage(**row) for row in rows)
    check(Cut(Recording("cut.m4a", "0" * 64, 0.0, 1.0), passages, ()), sound, truth, offset=0.0)
