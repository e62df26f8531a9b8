"""Peak memory: under 800 MB with `base`, and the same for 10 minutes as for 40."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from ashdraft.intake.decode import RATE, decode
from ashdraft_samples import NARRATION

from tests.intake.media import Kind, Samples, write_media

from .conftest import need_model

# Peak resident memory of a process that does nothing but intake and transcription, in MB. Not
# ru_maxrss: Linux keeps that over exec, so it would be the test runner's own peak.
PROGRAM = """
import sys
from pathlib import Path
from ashdraft.intake import open_session
from ashdraft.options import Options
from ashdraft.progress import Silent
from ashdraft.transcribe import transcribe
path, work = Path(sys.argv[1]), Path(sys.argv[2])
transcript = transcribe(
    open_session([path]), Options(inputs=(path,), model="base", threads=2), work, Silent()
)
assert transcript.utterances
status = Path("/proc/self/status").read_text()
print(int(status.split("VmHWM:")[1].split()[0]) / 1024)
"""


def session(minutes: int) -> Samples:
    """The bundled narration in pieces of 24 s, a hundred seconds of faint noise before each."""
    speech = np.concatenate([stretch.samples for stretch in decode(NARRATION)])
    rng = np.random.default_rng(8)
    parts: list[Samples] = []
    for number in range(minutes * 60 // 124):
        start = number * 24 * RATE % (len(speech) - 24 * RATE)
        parts.append((rng.standard_normal(100 * RATE) * 0.001).astype(np.float32))
        parts.append(speech[start : start + 24 * RATE])
    return np.concatenate(parts)


def peak(minutes: int, folder: Path) -> float:
    path = write_media(folder / f"{minutes}.m4a", session(minutes), Kind("m4a", "aac", RATE))
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(path), str(folder / f"work{minutes}")],
        check=True, capture_output=True, text=True, env=dict(os.environ),
    )  # fmt: skip
    return float(done.stdout)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="/proc is Linux's")
def test_memory_is_flat_and_low(tmp_path: Path) -> None:
    need_model("base")
    short, long = peak(10, tmp_path), peak(40, tmp_path)
    print(f"peak {short:.0f} MB for 10 minutes, {long:.0f} MB for 40")
    assert long < 800, f"{long:.0f} MB"
    # Ten minutes make four windows, one to a block; longer sessions have two to a block.
    assert long <= short * 1.1, f"{short:.0f} MB for 10 minutes, {long:.0f} MB for 40"
