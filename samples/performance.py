"""A labelled script spoken aloud: its utterances on a clock, with what was said and when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from .sounds import bed, lighter, mixed, spoken_level
from .voices import RATE, Sound, Voice, say

BREATH = 0.35  # seconds at least between two utterances
TAIL = 2.0  # seconds of silence after the last one
FLAME_EVENTS = {"lit", "touch-up", "relight"}


@dataclass(frozen=True, slots=True)
class Line:
    """One utterance of a script: when it should start (seconds), its words, its events."""

    at: float
    text: str
    events: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Script:
    """A labelled file as far as speaking it goes; see docs/labelling.md for the rest."""

    id: str
    kind: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Performance:
    """Sound at RATE and the truth about it: `spans[i]` are the seconds in which line i is heard."""

    sound: Sound
    lines: tuple[Line, ...]
    spans: tuple[tuple[float, float], ...]

    @property
    def words(self) -> str:
        """Everything that is said, in order."""
        return " ".join(line.text for line in self.lines)


def load_script(path: Path) -> Script:
    """Read a labelled YAML file."""
    raw: Mapping[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    lines = tuple(
        Line(float(u["at"]), str(u["text"]), tuple(u.get("events", ()))) for u in raw["utterances"]
    )
    return Script(str(raw["id"]), str(raw["kind"]), lines)


def perform(script: Script, voice: Voice, *, longest_gap: float | None = None) -> Performance:
    """Speak every line at its own time; a line waits until the one before it has ended.

    `longest_gap` (seconds) shortens the silences between the notes, for tests that need the
    words and not the waiting.
    """
    pieces: list[Sound] = []
    spans: list[tuple[float, float]] = []
    clock = 0.0
    for line in script.lines:
        sound = say(line.text, voice)
        latest = np.inf if longest_gap is None else clock + longest_gap
        start = max(min(line.at, latest), clock + BREATH)
        pieces += [np.zeros(round((start - clock) * RATE), np.float32), sound]
        spans.append((start, start + sound.size / RATE))
        clock = sum(p.size for p in pieces[-2:]) / RATE + clock
    pieces.append(np.zeros(round(TAIL * RATE), np.float32))
    return Performance(np.concatenate(pieces), script.lines, tuple(spans))


def in_a_room(
    performance: Performance, kind: str, decibels: float, *, flames: bool = True, seed: int = 0
) -> Performance:
    """The same performance over a bed of noise, a lighter heard before each lighting."""
    sound = performance.sound
    if flames:
        sound = _with_flames(performance, seed)
    noise = bed(kind, sound.size / RATE, seed)
    return Performance(
        mixed(sound, performance.spans, noise, decibels), performance.lines, performance.spans
    )


def _with_flames(performance: Performance, seed: int) -> Sound:
    """Add a lighter in the pause before every line that tells of lighting or touching up."""
    out = performance.sound.copy()
    level = 1.5 * spoken_level(out, performance.spans)
    for number, before in enumerate(_pauses(performance.spans)):
        start = performance.spans[number][0]
        click = lighter(seed + number) * np.float32(level)
        room = round((start - before - BREATH) * RATE)
        if FLAME_EVENTS & set(performance.lines[number].events) and room > click.size:
            end = round((start - BREATH / 2) * RATE)
            out[end - click.size : end] += click
    return out


def _pauses(spans: Sequence[tuple[float, float]]) -> list[float]:
    """For each line the second at which the line before it ends."""
    return [0.0, *(end for _, end in spans[:-1])]
