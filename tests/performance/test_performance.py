"""What must be quick whatever the machine; sound against the peer is in bench.py.

Processor time is measured, which a busy machine stretches less than the clock's.
"""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, ClassVar

import pytest
import yaml
from ashdraft.model import Word
from ashdraft.options import Options
from ashdraft.session import write
from ashdraft.transcribe import device
from ashdraft.transcribe.recogniser import Window

from tests.performance.sounds import make
from tests.transcribe.conftest import need_model
from tests.transcribe.stand import Stand

HELP_SECONDS = 0.3
AGAIN_SECONDS = 8.0
"""Holds the level; the aim of 4 s is missed (docs/performance.md)."""
LABELLED = sorted((Path(__file__).parents[1] / "labelled" / "dev").glob("*.yaml"))

pytestmark = pytest.mark.skipif(os.name == "nt", reason="wait4 is POSIX's")


def processor_seconds(command: Sequence[str], times: int) -> float:
    """The least of several runs, of the process and its threads."""
    found = []
    for _ in range(times):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        assert process.returncode == 0
        found.append(used.ru_utime + used.ru_stime)
    return min(found)


def test_help_is_instant() -> None:
    took = processor_seconds([sys.executable, "-m", "ashdraft", "--help"], 3)
    assert took < HELP_SECONDS, f"{took:.2f} s"


class Scripted(Stand):
    """A stand-in that hears the labelled recordings, thirty words a window."""

    words: ClassVar = [
        word
        for path in LABELLED
        for line in yaml.safe_load(path.read_text("utf-8"))["utterances"]
        for word in str(line["text"]).split()
    ]
    workers = 1
    at = 0

    def recognise(self, sounds: Sequence[Any], language: str) -> list[Window]:
        found = []
        for sound in sounds:
            seconds = len(sound) / 16_000
            count = max(1, round(seconds * 2.5))
            spoken = [self.words[(self.at + n) % len(self.words)] for n in range(count)]
            Scripted.at += count
            found.append(
                Window(
                    tuple(
                        Word(f" {w}", n * seconds / count, (n + 0.9) * seconds / count, 0.9)
                        for n, w in enumerate(spoken)
                    ),
                    -0.2,
                )
            )
        return found


@pytest.mark.slow
def test_draft_of_ninety_minutes_is_made_again_soon(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As after a change of a rule, a term or the sheet: start to end, nothing recognised."""
    model = need_model("tiny.en")
    made = make(tmp_path, "sparse", 90, "wav")
    with monkeypatch.context() as patched:
        patched.setattr(device, "Recogniser", Scripted)
        patched.setattr(device, "ready", lambda _: Path())
        first = write(Options((made.path,), out=tmp_path / "out", model=model))
    assert sum(len(u.said.split()) for u in first.notes.reading.utterances) > 1200
    command = [sys.executable, "-m", "ashdraft", "write", str(made.path), "--model", model,
               "--out", str(tmp_path / "out"), "--no-caution"]  # fmt: skip
    took = processor_seconds(command, 3)
    print(f"{took:.2f} s of processor")
    assert took < AGAIN_SECONDS, f"{took:.2f} s"
