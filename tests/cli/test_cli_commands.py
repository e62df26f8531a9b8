"""The installed command as a person starts it, in a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from ashdraft import __version__
from ashdraft.cli.demo import sample

ROOT = Path(__file__).parents[2]
HEAVY = {"spacy", "faster_whisper", "av", "pydub", "numpy", "rich", "jsonschema", "filelock"}


def ashdraft(*arguments: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "ashdraft", *arguments], capture_output=True, text=True, cwd=cwd
    )


@pytest.mark.parametrize("command", [[], ["write"], ["demo"], ["models"]])
def test_help_loads_nothing_heavy(command: list[str]) -> None:
    code = (
        "import sys; from ashdraft.cli import app; sys.argv[0] = 'ashdraft'\n"
        "try: app()\n"
        "except SystemExit: print(*sorted({m.split('.')[0] for m in sys.modules}), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *command, "--help"], capture_output=True, text=True, check=True
    )
    assert "Examples:" in done.stdout
    assert not HEAVY & set(done.stderr.split())


@pytest.mark.skipif(os.name == "nt", reason="POSIX process times")
def test_help_is_instant() -> None:
    """0.3 s of processor time: help waits for nothing, and the machine may be busy."""
    before = os.times()
    assert ashdraft("--help").returncode == 0
    after = os.times()
    spent = after.children_user + after.children_system
    assert spent - before.children_user - before.children_system < 0.3


def test_version() -> None:
    done = ashdraft("--version")
    assert (done.returncode, done.stdout, done.stderr) == (0, f"ashdraft {__version__}\n", "")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    assert project["version"] == __version__


def test_demo_recording_is_in_the_package() -> None:
    path = sample()
    assert path.is_file()
    assert path.parent.name == "samples"


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_ends_with_130_and_a_word(tmp_path: Path) -> None:
    """A stage that waits stands for a long recognition."""
    code = (
        "import signal, sys, time\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell may ignore it
        "from ashdraft import session\n"
        "def write(*_):\n"
        "    print('waiting', file=sys.stderr, flush=True)\n"
        "    time.sleep(60)\n"
        "session.write = write\n"
        "from ashdraft.cli import main\n"
        "main()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, "write", "a.wav"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=tmp_path,
    ) as run:
        assert run.stderr
        assert run.stderr.readline() == "waiting\n"
        run.send_signal(signal.SIGINT)
        stdout, stderr = run.communicate(timeout=10)
    assert run.returncode == 130
    assert "type the same command to go on" in stderr
    assert "Traceback" not in stderr
    assert stdout == ""
