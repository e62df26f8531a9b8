"""Sound and notes for the tests of the table."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from ashdraft.model import Count, Event, MadeBy, Notes, Reading, Recording, Timing, Utterance
from ashdraft.table import flac

if TYPE_CHECKING:
    from ashdraft.table.flac import Samples

ZERO = datetime(2026, 5, 2, 20, 14, tzinfo=timezone(timedelta(hours=2)))
RATE = 8000


def noise(seconds: float, seed: int = 0, level: float = 3000, rate: int = RATE) -> Samples:
    """White noise, in which every second differs from every other."""
    made = np.random.default_rng(seed).normal(0, level, int(seconds * rate))
    return np.clip(made, -32768, 32767).astype(np.int16)


def later(seconds: float) -> datetime:
    return ZERO + timedelta(seconds=seconds)


def sound_of(paths: Sequence[Path]) -> Samples:
    """The sound of FLAC files one after the other."""
    return np.concatenate([part for path in paths for part in flac.read(path)[2]])


NOTHING = Count(0, (0, 0, 0), ())
UNTIMED = Timing()


def notes(
    events: Sequence[Event] = (),
    touch_ups: Count = NOTHING,
    relights: Count = NOTHING,
    timing: Timing = UNTIMED,
) -> Notes:
    """Notes of a recording that began at ZERO, with one utterance."""
    said = Utterance(0, 5.0, 6.0, "Well.", "Well.", "Well.", "aside", None, None, 1.0)
    return Notes(
        MadeBy("0", None, "none", "0" * 8),
        (Recording("take.flac", "0" * 64, 0.0, 5400.0, ZERO.isoformat()),),
        Reading("live", (said,), (), tuple(events), touch_ups, relights, timing=timing),
    )
