"""Damaged and lying files of every format: sound or an error of ours, no crash, no hang."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FEW = ("mp3-libmp3lame-8000-mono", "m4a-aac-44100-mono", "webm-libopus-48000-stereo",
       "amr-libopencore_amrnb-8000-mono", "wav-pcm_s16le-22050-mono")  # fmt: skip


def run(folder: Path, seed: int, count: int, *kinds: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "tests.intake.mutated", str(folder), str(seed), str(count), *kinds],
        cwd=ROOT, capture_output=True, text=True, timeout=900, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def test_mutated_files_of_a_few_formats(tmp_path: Path) -> None:
    assert "'sound'" in run(tmp_path, 1, 60, *FEW)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [2, 3])
def test_mutated_files_of_every_format(seed: int, tmp_path: Path) -> None:
    outcomes = run(tmp_path, seed, 300)
    assert "'sound'" in outcomes
    assert "'NotMedia'" in outcomes
