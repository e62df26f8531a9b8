"""kill -9 at random moments, and again on restart: the same folder, and nothing done twice."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")


def killed(folder: Path, seed: int, kills: int) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "tests.reliability.killed", str(folder), str(seed), str(kills)],
        cwd=ROOT, capture_output=True, text=True, timeout=1800, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    print(done.stdout)
    return done.stdout


def test_killed_a_few_times(tmp_path: Path) -> None:
    assert "4 killed" in killed(tmp_path, 1, 4)


@pytest.mark.slow
def test_killed_at_two_hundred_random_moments(tmp_path: Path) -> None:
    told = killed(tmp_path, 2, 200)
    assert "200 killed" in told
    assert " 0 with work kept" not in told
