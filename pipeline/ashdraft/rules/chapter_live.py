"""Chapters of a session recorded while smoking: its thirds, and what happened in them.

Talk comes in remarks there, taste and burn by turns, so topics say little between lighting and
putting down. A viewer looks for the thirds, for what went wrong or fell off, and for a longer
talk about something else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..model import Event, EventKind, Section
from .chapter_runs import SHORT, Run, topics
from .lines import Line
from .place.model import Placed

NEAR = 30.0
"""Seconds: nearer to another chapter an event needs none of its own."""
DOWN = 4
"""`Placed.current` from the moment the stick is put down."""
_SECTIONS: dict[EventKind, Section] = {
    "touch-up": "burn", "relight": "burn", "ash-drop": "burn", "put-down": "burn",
    "band-off": "presentation",
}  # fmt: skip
_SPURS: tuple[Section, ...] = ("setup", "appearance", "presentation", "pairing", "verdict")
"""Topics that are a chapter of their own when the talk stays with them between two thirds."""


def live_runs(
    lines: Sequence[Line], placed: Sequence[Placed], events: Sequence[Event]
) -> list[Run]:
    """Topics before lighting, thirds with their events while smoking, topics after it."""
    lit = _first(placed, range(1, DOWN))
    down = max(lit, _down(lines, placed, events))
    runs = topics([p.section for p in placed[:lit]])
    for third in range(1, DOWN):
        inside = [i for i in range(lit, down) if placed[i].current == third]
        if inside:
            runs += _third(inside[0], inside[-1] + 1, third, placed)
    seen = {p.section for p in placed[:down]}
    runs += topics([p.section for p in placed[down:]], down, seen)
    return _with_events(runs, lines, events)


def _down(lines: Sequence[Line], placed: Sequence[Placed], events: Sequence[Event]) -> int:
    """Return the line at which the stick is put down."""
    said = [e.utterance for e in events if e.kind == "put-down"]
    at = next((i for i, line in enumerate(lines) if line.id in said), len(lines))
    return min(at, _first(placed, [DOWN]))


def _first(placed: Sequence[Placed], stages: Sequence[int]) -> int:
    return next((i for i, p in enumerate(placed) if p.current in stages), len(placed))


def _third(first: int, end: int, third: int, placed: Sequence[Placed]) -> list[Run]:
    """One chapter, broken where the talk stays with another topic, and taken up again after."""
    runs: list[Run] = []
    at = first
    for spur in topics([p.section for p in placed[first:end]], first):
        if spur.section in _SPURS and spur.length > SHORT and spur.first > first:
            if at < spur.first:
                runs.append(Run(at, spur.first, "palate", third, back=at > first))
            runs.append(spur)
            at = spur.end
    if at < end:
        runs.append(Run(at, end, "palate", third, back=at > first))
    return runs


def _with_events(runs: Sequence[Run], lines: Sequence[Line], events: Sequence[Event]) -> list[Run]:
    """Break runs where something happened, unless another chapter begins near by."""
    at = {line.id: i for i, line in enumerate(lines)}
    found = list(runs)
    for event in sorted(events, key=lambda e: e.start):
        if event.kind not in _SECTIONS or event.utterance not in at:
            continue
        i = at[event.utterance]
        same = next((n for n, r in enumerate(found) if r.first == i), None)
        section = _SECTIONS[event.kind]
        if same is not None:
            if found[same].section == section and found[same].event is None:
                found[same] = replace(found[same], third=event.third, event=event.kind)
            continue
        if any(abs(lines[r.first].start - lines[i].start) < NEAR for r in found):
            continue
        n = next((n for n, r in enumerate(found) if r.first < i < r.end), None)
        if n is not None:
            end = found[n].end
            found[n] = replace(found[n], end=i)
            found.insert(n + 1, Run(i, end, section, event.third, event.kind))
    return found
