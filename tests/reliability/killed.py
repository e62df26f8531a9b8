"""Kills runs at random moments and starts them again; run as a program.

python -m tests.reliability.killed FOLDER SEED KILLS

The whole chain runs, but for the speech model, whose stand-in takes its time for each window.
Every run is a forked process, killed with SIGKILL; a run that was not killed in time must have
left what an undisturbed one leaves, byte for byte, and the next begins from nothing.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from ashdraft.intake.decode import RATE
from ashdraft.options import Options
from ashdraft.output import TEMPORARY
from ashdraft.rules import read
from ashdraft.session import write
from ashdraft.transcribe import device
from ashdraft.transcribe.recogniser import Window

from tests.intake.media import Kind, Samples, write_media
from tests.reliability.sound import narrated
from tests.transcribe.stand import Stand

WINDOW_SECONDS = 0.02
LONGEST = 120.0


class Slow(Stand):
    """The stand-in, about as slow per window as the chain around it."""

    def recognise(self, sounds: Sequence[Samples], language: str) -> list[Window]:
        time.sleep(WINDOW_SECONDS * len(sounds))
        return super().recognise(sounds, language)


def run(recording: Path, out: Path) -> int:
    """Start a run in a forked process; returns the process id."""
    process = os.fork()
    if process:
        return process
    try:
        write(Options((recording,), out=out, model="tiny.en"))
    except BaseException as error:
        print(f"{type(error).__name__}: {error}", file=sys.stderr, flush=True)
        os._exit(1)
    os._exit(0)


def ended(process: int, within: float) -> bool:
    """Whether a run ended well in time; it is killed where not."""
    until = time.monotonic() + within
    while time.monotonic() < until:
        done, status = os.waitpid(process, os.WNOHANG)
        if done:
            assert os.waitstatus_to_exitcode(status) == 0, "a run failed"
            return True
        time.sleep(0.001)
    os.kill(process, signal.SIGKILL)
    _, status = os.waitpid(process, 0)
    if os.WIFEXITED(status):
        assert os.WEXITSTATUS(status) == 0, "a run failed"
    return not os.WIFSIGNALED(status)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def blocks(folder: Path) -> dict[str, tuple[int, int]]:
    """Each stored entry with its inode and date: it gets new ones when it is written again."""
    found = (folder / ".ashdraft" / "heard").glob("*.json")
    return {p.name: (p.stat().st_ino, p.stat().st_mtime_ns) for p in found}


def clear(folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()


def main(folder: Path, seed: int, kills: int) -> None:
    rng = random.Random(seed)
    speech = narrated(24)
    parts = [p for _ in range(2) for p in (np.zeros(20 * RATE, dtype=np.float32), speech)]
    recording = write_media(folder / "a.wav", np.concatenate(parts), Kind("wav", "pcm_s16le", RATE))
    device.Recogniser = Slow  # type: ignore[misc, assignment]
    device.ready = lambda model: Path()
    read([])  # the language model is loaded once, here
    begun = time.monotonic()
    assert ended(run(recording, folder / "undisturbed"), LONGEST)
    took = time.monotonic() - begun
    whole = contents(folder / "undisturbed")
    out = folder / "out"
    stored: dict[str, tuple[int, int]] = {}
    killed = finished = with_work = 0
    done = True
    while killed < kills or not done:
        within = rng.uniform(0, took) if killed < kills else LONGEST
        done = ended(run(recording, out), within)
        now = blocks(out)
        assert stored.items() <= now.items(), "an entry was made twice, or lost"
        stored = now
        if done:
            assert contents(out) == whole, "not what an undisturbed run leaves"
            assert not list(out.rglob(f"*{TEMPORARY}*"))
            finished += 1
            clear(out)
            stored = {}
        else:
            killed += 1
            with_work += bool(now)
    print(f"{killed} killed, {with_work} with work kept, {finished} finished, {took:.2f} s a run")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
