"""Recording from a terminal: samples in, pieces and taps on disk. Knows no device and no screen."""

from __future__ import annotations

import shutil
import time
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import MicrophoneMissing
from . import log, pieces
from .cutting import Cut, Cutter
from .microphone import Source

if TYPE_CHECKING:
    from .flac import Samples

GONE = 3.0
"""Seconds without a sample after which the microphone is taken to be gone."""
AGAIN = 1.0
"""Seconds between two tries to open it again, or to write what could not be written."""
SILENT = 5.0
"""Seconds of nothing but zeros after which a warning is shown: a muted or covered device."""
LOUD_SHOWN = 3.0
LITTLE_SPACE = 500_000_000
"""Bytes: more than an hour of 16-bit sound at 48,000 samples a second."""
_CLIPPED = 32_700
_ZERO = 2


@dataclass(slots=True)
class State:
    """What the screen shows. `level` is the peak of the last samples, 0 to 1."""

    elapsed: float = 0.0
    level: float = 0.0
    paused: bool = False
    lost: bool = False
    warnings: tuple[str, ...] = ()
    taps: Counter[str] = field(default_factory=Counter)


@dataclass(slots=True)
class Recorder:
    """One recording in `folder`. Call `step` again and again, then `stop`."""

    folder: Path
    source: Source
    now: Callable[[], datetime] = lambda: datetime.now().astimezone()
    clock: Callable[[], float] = time.monotonic
    state: State = field(default_factory=State)
    _cutter: Cutter = field(default_factory=Cutter)
    _unwritten: list[Cut] = field(default_factory=list)
    _number: int = 0
    _rate: int = 0
    _begun: float = 0.0
    _heard: float = 0.0
    _sounded: float = 0.0
    _clipped: float = -LOUD_SHOWN
    _tried: float = 0.0
    _space: int = LITTLE_SPACE

    def start(self) -> None:
        """Open the microphone and begin the folder. Raises MicrophoneMissing, OSError."""
        self._rate = self.source.open()
        log.begin(self.folder, self.now())
        self._begun = self._heard = self._sounded = self.clock()

    def step(self, wait: float = 0.1) -> None:
        """Take what the microphone has; find it again where it is gone."""
        if self.state.lost:
            self._look_again(wait)
        else:
            heard = self.source.read(wait)
            if heard is not None:
                self._take(*heard)
            elif self.clock() - self._heard > GONE:
                self._lose()
        if self._unwritten and self.clock() - self._tried > AGAIN:
            self._store(())
        self.state.elapsed = self.clock() - self._begun
        self.state.warnings = tuple(self._warnings())

    def tap(self, kind: log.TapKind) -> None:
        """Note that something happened now."""
        log.tap(self.folder, kind, self.now())
        self.state.taps[kind] += 1

    def note(self, text: str) -> None:
        """Keep typed words; blank ones are none."""
        if text.strip():
            log.note(self.folder, text.strip()[: log.LONGEST_NOTE], self.now())

    def pause(self) -> None:
        """Pause, or go on after a pause."""
        self.state.paused = not self.state.paused
        if self.state.paused:
            self._store(self._cutter.end())
        log.mark(self.folder, "pause" if self.state.paused else "resume", self.now())

    def stop(self) -> None:
        """Store what is left and end. Raises OSError where it cannot be stored."""
        self.source.close()
        self._store(self._cutter.end())
        if self._unwritten:
            raise OSError(f"{len(self._unwritten)} pieces could not be written")
        log.mark(self.folder, "stop", self.now())

    def _take(self, samples: Samples, moment: datetime) -> None:
        import numpy as np

        self._heard = self.clock()
        peak = int(np.abs(samples.astype(np.int32)).max(initial=0))
        self.state.level = peak / 32768
        if peak > _ZERO:
            self._sounded = self._heard
        if np.count_nonzero(np.abs(samples.astype(np.int32)) >= _CLIPPED) >= 3:
            self._clipped = self._heard
        if not self.state.paused:
            self._store(self._cutter.add(samples, self._rate, moment))

    def _store(self, cuts: Iterable[Cut]) -> None:
        """Write pieces in order; what cannot be written is kept and tried again."""
        self._unwritten += cuts
        self._tried = self.clock()
        while self._unwritten:
            cut = self._unwritten[0]
            try:
                pieces.keep(self.folder, self._number + 1, cut.samples, cut.rate, cut.moment)
                self._space = shutil.disk_usage(self.folder).free
            except OSError:
                return
            self._number += 1
            del self._unwritten[0]

    def _lose(self) -> None:
        self.state.lost, self.state.level = True, 0.0
        self.source.close()
        self._store(self._cutter.end())
        log.mark(self.folder, "lost", self.now())

    def _look_again(self, wait: float) -> None:
        if self.clock() - self._tried < AGAIN:
            time.sleep(wait)
            return
        self._tried = self.clock()
        try:
            self._rate = self.source.open()
        except MicrophoneMissing:
            return
        self.state.lost = False
        self._heard = self._sounded = self.clock()
        log.mark(self.folder, "back", self.now())

    def _warnings(self) -> Iterable[str]:
        now = self.clock()
        if self.state.lost:
            yield "the microphone is gone; plug it in again"
        elif now - self._sounded > SILENT:
            yield "nothing is heard; is the microphone muted?"
        if now - self._clipped < LOUD_SHOWN:
            yield "too loud; move the microphone away"
        if self._unwritten:
            yield "the disk takes nothing more; free some space now"
        elif self._space < LITTLE_SPACE:
            yield "little space is left on the disk"
