"""The terminal recorder with a stand-in for the microphone, and a clock that the test moves."""

from __future__ import annotations

import errno
import io
import sys
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
import typer
from ashdraft.cli.record import record
from ashdraft.errors import MicrophoneMissing
from ashdraft.intake import open_session
from ashdraft.table import microphone, pieces, put_together
from ashdraft.table.log import FILE, read
from ashdraft.table.recorder import GONE, SILENT, Recorder
from ashdraft.table.terminal import Terminal, line_of

from tests.table.made import RATE, later, noise, sound_of

if TYPE_CHECKING:
    from ashdraft.table.flac import Samples


@dataclass(slots=True)
class Bench:
    """A microphone and a clock in one: every read moves time on by half a second."""

    recorder: Recorder = field(init=False)
    rates: list[int] = field(default_factory=lambda: [RATE])
    gone: bool = False
    seconds: float = 0.0
    given: list[Samples] = field(default_factory=list)
    rate: int = RATE
    level: float = 3000

    def open(self) -> int:
        if self.gone:
            raise MicrophoneMissing("There is no microphone.")
        self.rate = self.rates.pop(0) if len(self.rates) > 1 else self.rates[0]
        return self.rate

    def read(self, timeout: float) -> tuple[Samples, datetime] | None:
        self.seconds += 0.5
        if self.gone:
            return None
        samples = noise(0.5, len(self.given), self.level, self.rate)
        self.given.append(samples)
        return samples, later(self.seconds)

    def close(self) -> None:
        pass


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    made = Bench()
    monkeypatch.setattr("ashdraft.table.recorder.time.sleep", lambda s: made.read(s))
    made.recorder = Recorder(
        tmp_path / "stick", made, now=lambda: later(made.seconds), clock=lambda: made.seconds
    )
    made.recorder.start()
    return made


def go(bench: Bench, seconds: float) -> None:
    for _ in range(int(seconds * 2)):
        bench.recorder.step()


def takes(bench: Bench) -> list[tuple[float, float]]:
    put_together([bench.recorder.folder])
    clips = open_session([bench.recorder.folder]).clips
    return [(c.recording.offset, round(c.recording.duration, 2)) for c in clips]


def test_every_sample_is_kept(bench: Bench) -> None:
    go(bench, 40)
    bench.recorder.stop()
    assert takes(bench) == [(0.0, 40.0)]
    (take,) = bench.recorder.folder.glob("*.flac")
    assert np.array_equal(sound_of([take]), np.concatenate(bench.given))


def test_killed_it_has_lost_less_than_a_piece(bench: Bench) -> None:
    """Nothing is done at the end: the process is gone."""
    go(bench, 34)
    ((offset, length),) = takes(bench)
    assert offset == 0
    assert length > 24
    assert read(bench.recorder.folder / FILE) is not None


def test_a_pause_is_a_gap(bench: Bench) -> None:
    go(bench, 5)
    bench.recorder.pause()
    go(bench, 20)
    bench.recorder.pause()
    go(bench, 5)
    bench.recorder.stop()
    assert takes(bench) == [(0.0, 5.0), (25.0, 5.0)]


def test_unplugged_and_plugged_in_at_another_rate(bench: Bench) -> None:
    bench.rates = [16000]
    go(bench, 5)
    bench.gone = True
    go(bench, 20)
    assert bench.recorder.state.lost
    assert "plug it in" in line_of(bench.recorder.state)
    bench.gone = False
    go(bench, 8)
    assert not bench.recorder.state.lost
    bench.recorder.stop()
    (first, second) = takes(bench)
    assert first == (0.0, 5.0)
    assert second[0] > 15
    assert second[1] >= 5
    rates = {clip.path.name: clip for clip in open_session([bench.recorder.folder]).clips}
    assert len(rates) == 2
    text = (bench.recorder.folder / FILE).read_text()
    assert '"lost"' in text
    assert '"back"' in text
    assert GONE < 5


def test_a_full_disk_loses_nothing(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(pieces, "atomic_write", full)
        go(bench, 30)
        assert "free some space now" in line_of(bench.recorder.state)
        with pytest.raises(OSError, match="could not be written"):
            bench.recorder.stop()
    go(bench, 5)
    bench.recorder.stop()
    assert takes(bench) == [(0.0, 35.0)]


def test_silence_and_clipping_are_told(bench: Bench) -> None:
    bench.level = 0
    go(bench, SILENT + 1)
    assert "nothing is heard" in line_of(bench.recorder.state)
    bench.level = 60000
    go(bench, 1)
    assert "too loud" in line_of(bench.recorder.state)
    bench.level = 300
    go(bench, 5)
    assert "!" not in line_of(bench.recorder.state)


def test_keys_do_what_they_say(bench: Bench) -> None:
    terminal = Terminal(bench.recorder, io.StringIO())
    for keys in ("t", "ta", "z", "wcap\x7fp cracked\n", "whalf\x1b", "n", "d"):
        terminal.press(keys)
        go(bench, 1)
    terminal.press(" ")
    assert bench.recorder.state.paused
    assert line_of(bench.recorder.state).startswith("paused 0:07")
    terminal.press(" q")
    assert terminal.ended
    log = read(bench.recorder.folder / FILE)
    assert log is not None
    assert [tap.kind for tap in log.taps] == [
        "touch-up", "touch-up", "ash-drop", "next-third", "put-down",
    ]  # fmt: skip
    assert [note.text for note in log.notes] == ["cap cracked"]


def test_no_part_and_no_device_are_told_with_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    with pytest.raises(MicrophoneMissing) as caught:
        microphone.Microphone().open()
    assert "ashdraft[record]" in str(caught.value)
    assert "libportaudio2" in str(caught.value)
    assert caught.value.exit_code == 14


def test_a_folder_in_use_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    with pytest.raises(typer.Exit) as caught:
        record(tmp_path)
    assert caught.value.exit_code == 9
