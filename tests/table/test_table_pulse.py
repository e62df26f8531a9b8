"""The terminal recorder with a real PulseAudio server: a null sink plays, its monitor is heard."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
import wave
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
from ashdraft.intake import open_session
from ashdraft.table import flac, put_together
from ashdraft.table.log import FILE, read
from scipy.signal import correlate

from tests.needs import need
from tests.table.made import sound_of

pytestmark = pytest.mark.slow
RATE = 48000


class Pulse:
    """A server of this test's own, apart from that of whoever runs it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.env = {**os.environ, "XDG_RUNTIME_DIR": str(folder), "HOME": str(folder)}
        setup = folder / "setup.pa"
        setup.write_text("load-module module-native-protocol-unix\n")
        command = f"pulseaudio -n -F {setup} --exit-idle-time=-1 --daemonize=no --use-pid-file=no"
        self.process = subprocess.Popen(command.split(), env=self.env, stderr=subprocess.DEVNULL)
        for _ in range(50):
            if self.ask("info").returncode == 0:
                break
            time.sleep(0.1)
        self.plug_in(RATE)

    def ask(self, command: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["pactl", *command.split()], env=self.env, capture_output=True, text=True
        )

    def plug_in(self, rate: int) -> None:
        made = self.ask(f"load-module module-null-sink sink_name=table rate={rate} channels=1")
        self.module = made.stdout.strip()
        self.ask("set-default-source table.monitor")

    def unplug(self) -> None:
        self.ask(f"unload-module {self.module}")

    def play(self, file: Path) -> None:
        command = ["paplay", "--device=table", "--latency-msec=100", str(file)]
        subprocess.run(command, env=self.env, check=True)

    def record(self, folder: Path) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", "ashdraft", "record", str(folder)]
        process = subprocess.Popen(command, env=self.env, stdin=subprocess.PIPE)
        for _ in range(100):
            if (folder / FILE).is_file():
                return process
            time.sleep(0.1)
        process.kill()
        pytest.fail("the recorder did not begin")


@pytest.fixture
def pulse(tmp_path: Path) -> Iterator[Pulse]:
    need(shutil.which("pulseaudio"), "pulseaudio is not installed (Debian package pulseaudio)")
    need(shutil.which("pactl"), "pactl is not installed (Debian package pulseaudio-utils)")
    need(find_spec("sounddevice"), "sounddevice is not installed (ashdraft[record])")
    folder = tmp_path / "pulse"
    folder.mkdir(mode=0o700)
    made = Pulse(folder)
    listed = subprocess.run(
        [sys.executable, "-m", "ashdraft", "record", "--devices"],
        env=made.env, capture_output=True, text=True,
    )  # fmt: skip
    need(
        "pulse" in listed.stdout,
        "PortAudio finds no PulseAudio (libportaudio2, libasound2-plugins)",
    )
    yield made
    made.process.terminate()
    made.process.wait()


def sweep(seconds: float, rate: int = RATE) -> np.ndarray:
    """A tone that rises, so that every moment of it differs from every other."""
    at = np.arange(int(seconds * rate)) / rate
    return (8000 * np.sin(2 * np.pi * (200 + 150 * at) * at)).astype(np.int16)


def tone(path: Path, seconds: float) -> Path:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(sweep(seconds).tobytes())
    return path


def test_what_was_played_was_recorded(pulse: Pulse, tmp_path: Path) -> None:
    """Found by cross-correlation (SciPy) wherever it is looked for, over the seams of pieces.

    PulseAudio itself drops a few hundredths of a second where the machine is very busy.
    """
    process = pulse.record(tmp_path / "stick")
    pulse.play(tone(tmp_path / "tone.wav", 15))
    process.communicate(b"tq", timeout=30)
    assert process.returncode == 0
    (take,) = (tmp_path / "stick").glob("*.flac")
    heard, rate = sound_of([take]).astype(np.float64), flac.read(take)[0]
    played = sweep(15, rate).astype(np.float64)
    places = []
    for second in range(1, 14):
        part = played[second * rate : second * rate + rate // 5]
        matched = correlate(heard, part, mode="valid", method="fft")
        at = int(matched.argmax())
        likeness = matched.max() / np.linalg.norm(part) / np.linalg.norm(heard[at : at + len(part)])
        places.append((at / rate - second, likeness))
    assert sum(likeness > 0.95 for _, likeness in places) >= 11
    starts = [start for start, _ in places]
    assert max(starts) - min(starts) < 0.5
    log = read(tmp_path / "stick" / FILE)
    assert log is not None
    assert log.stopped
    assert [tap.kind for tap in log.taps] == ["touch-up"]


def test_killed_it_leaves_what_plays(pulse: Pulse, tmp_path: Path) -> None:
    tone(tmp_path / "tone.wav", 24)
    process = pulse.record(tmp_path / "stick")
    pulse.play(tmp_path / "tone.wav")
    process.send_signal(signal.SIGKILL)
    process.communicate()
    put_together([tmp_path / "stick"])
    (clip,) = open_session([tmp_path / "stick"]).clips
    assert 13 < clip.recording.duration < 26
    assert np.abs(sound_of([clip.path])[-20_000:]).max() > 1000


def test_unplugged_in_the_middle_and_back_at_another_rate(pulse: Pulse, tmp_path: Path) -> None:
    tone(tmp_path / "tone.wav", 6)
    process = pulse.record(tmp_path / "stick")
    pulse.play(tmp_path / "tone.wav")
    pulse.unplug()
    time.sleep(8)
    pulse.plug_in(44100)
    time.sleep(3)
    pulse.play(tmp_path / "tone.wav")
    process.communicate(b"q", timeout=30)
    assert process.returncode == 0
    text = (tmp_path / "stick" / FILE).read_text()
    assert '"lost"' in text
    assert '"back"' in text
    first, *_, last = open_session([tmp_path / "stick"]).clips
    assert first.recording.duration > 4
    assert last.recording.offset - first.recording.duration > 4
    assert np.abs(sound_of([last.path])).max() > 1000


def test_without_a_microphone_there_is_help(pulse: Pulse, tmp_path: Path) -> None:
    pulse.process.terminate()
    pulse.process.wait()
    command = [sys.executable, "-m", "ashdraft", "record", str(tmp_path / "none")]
    done = subprocess.run(command, env=pulse.env, capture_output=True, text=True, timeout=60)
    assert done.returncode == 14
    assert "There is no microphone" in done.stderr
    assert "ashdraft open --lan" in done.stderr
    assert not (tmp_path / "none").exists()
