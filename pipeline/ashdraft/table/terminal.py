"""The terminal recorder's one line, and what its keys do."""

from __future__ import annotations

import shutil
import sys
from dataclasses import dataclass
from math import log10
from typing import TextIO

from ..export.clock import chapter_time
from .log import TapKind
from .recorder import Recorder, State

KEYS: dict[str, tuple[TapKind, str]] = {
    "t": ("touch-up", "touch-up"),
    "r": ("relight", "relight"),
    "a": ("ash-drop", "ash fell"),
    "n": ("next-third", "next third"),
    "d": ("put-down", "put down"),
}
HELP = (
    "t touch-up   r relight   a ash fell   n next third   d put down\n"
    "space pause   w write a note   q stop"
)
_BAR = 20
_QUIETEST = 60.0  # decibels below full scale at which the bar is empty


@dataclass(slots=True)
class Terminal:
    """Shows a recorder on `stream` and obeys keys. `writing` holds a note while it is typed."""

    recorder: Recorder
    stream: TextIO = sys.stderr
    writing: str | None = None
    ended: bool = False

    def press(self, keys: str) -> None:
        """Do what the keys say; unknown ones do nothing."""
        for key in keys:
            if self.writing is not None:
                self._write(key)
            elif key in KEYS:
                self.recorder.tap(KEYS[key][0])
            elif key in (" ", "p"):
                self.recorder.pause()
            elif key == "w":
                self.writing = ""
            elif key == "q":
                self.ended = True

    def show(self) -> None:
        """Draw the line over the one before; on no terminal nothing is drawn."""
        if self.stream.isatty():
            width = shutil.get_terminal_size().columns - 1
            line = (
                f"note: {self.writing}_"
                if self.writing is not None
                else line_of(self.recorder.state)
            )
            self.stream.write(f"\r{line[-width:] if self.writing else line[:width]:<{width}}")
            self.stream.flush()

    def _write(self, key: str) -> None:
        assert self.writing is not None
        if key in "\r\n":
            self.recorder.note(self.writing)
            self.writing = None
        elif key == "\x1b":
            self.writing = None
        elif key in "\x7f\b":
            self.writing = self.writing[:-1]
        elif key.isprintable():
            self.writing += key


def line_of(state: State) -> str:
    """The line that stands for a state: time, level, taps, warnings."""
    level = 1 + 20 * log10(max(state.level, 1e-9)) / _QUIETEST
    filled = round(max(0.0, min(level, 1.0)) * _BAR)
    word = "paused" if state.paused else "no microphone" if state.lost else "recording"
    taps = "".join(
        f"  {name} {state.taps[kind]}" for kind, name in KEYS.values() if state.taps[kind]
    )
    warned = "".join(f"  ! {warning}" for warning in state.warnings)
    return f"{word} {chapter_time(int(state.elapsed))} [{'=' * filled:<{_BAR}}]{warned}{taps}"
