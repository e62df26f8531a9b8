"""Ctrl-C and SIGTERM end a run within two seconds, whatever it is in the middle of."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from ashdraft.cli.signals import INTERRUPTED, TERMINATED
from ashdraft.intake.decode import RATE

from tests.intake.media import Kind, write_media
from tests.reliability.sound import narrated
from tests.transcribe.conftest import need_model

pytestmark = pytest.mark.skipif(os.name == "nt", reason="POSIX signals")

WITHIN = 2.0
CODES = {signal.SIGINT: INTERRUPTED, signal.SIGTERM: TERMINATED}

BUSY = """
import hashlib, sys, time
import typer
import ashdraft.cli
from ashdraft.cli.failures import reported
def work():
    print("begun", flush=True)
    if sys.argv[1] == "python":
        time.sleep(60)
    hashlib.pbkdf2_hmac("sha256", b"x", b"y", 2_000_000_000)  # in C, for many minutes
ashdraft.cli.app = typer.Typer()
ashdraft.cli.app.command()(reported(work))
ashdraft.cli.main()
"""


def signalled(process: subprocess.Popen[str], number: signal.Signals) -> tuple[float, str]:
    begun = time.monotonic()
    process.send_signal(number)
    _, told = process.communicate(timeout=60)
    return time.monotonic() - begun, told


@pytest.mark.parametrize("number", CODES)
@pytest.mark.parametrize("within", ["python", "c"])
def test_signal_ends_it_wherever_it_is(number: signal.Signals, within: str) -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", BUSY.replace("sys.argv[1]", repr(within))],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert process.stdout
    assert process.stdout.readline() == "begun\n"
    time.sleep(0.2)
    took, told = signalled(process, number)
    assert process.returncode == CODES[number]
    assert "type the same command to go on" in told
    assert "Traceback" not in told
    assert took < WITHIN


@pytest.mark.slow
@pytest.mark.parametrize("number", CODES)
def test_signal_at_any_moment_keeps_what_is_finished(
    number: signal.Signals, tmp_path: Path
) -> None:
    """The real chain with the real model; a machine with nothing else to do is assumed."""
    if os.getloadavg()[0] > 2 * (os.cpu_count() or 1):
        pytest.skip("the machine is too busy for two seconds to mean anything")
    speech = narrated(24)
    parts = [p for _ in range(6) for p in (np.zeros(20 * RATE, dtype=np.float32), speech)]
    recording = write_media(
        tmp_path / "a.wav", np.concatenate(parts), Kind("wav", "pcm_s16le", RATE)
    )
    command = [sys.executable, "-m", "ashdraft", "write", str(recording), "--model",
               need_model("tiny.en")]  # fmt: skip
    begun = time.monotonic()
    subprocess.run([*command, "--out", str(tmp_path / "whole")], check=True, capture_output=True)
    whole = time.monotonic() - begun
    rng = random.Random(int(number))
    kept: set[str] = set()
    for _ in range(10):
        process = subprocess.Popen(
            [*command, "--out", str(tmp_path / "out")],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        try:
            process.communicate(timeout=rng.uniform(0.3, whole))
        except subprocess.TimeoutExpired:
            took, _ = signalled(process, number)
            # Before Python has begun to run the program the system's own way of ending holds.
            assert process.returncode in (CODES[number], -number, 1)
            assert took < WITHIN
        now = {path.name for path in (tmp_path / "out" / ".ashdraft" / "heard").glob("*.json")}
        assert kept <= now
        kept = now
    subprocess.run([*command, "--out", str(tmp_path / "out")], check=True, capture_output=True)
    assert (tmp_path / "out/draft.md").read_bytes() == (tmp_path / "whole/draft.md").read_bytes()
