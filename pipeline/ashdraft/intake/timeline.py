"""Placing several recordings or transcripts on one timeline."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from ..model import Heard, Word

# Recorders stamp whole seconds and stop late: a shorter overlap is the clock, not a second take.
_CLOCK_ROUNDING = 2.0
_ANOTHER_SITTING = 6 * 3600.0


@dataclass(frozen=True, slots=True)
class Part:
    """One input to place: the name to show, its length in seconds, its start time if known."""

    name: str
    duration: float
    recorded_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Placing:
    """`order` lists the parts' indexes by time; `offsets[i]` belongs to part `order[i]`."""

    order: tuple[int, ...]
    offsets: tuple[float, ...]
    notices: tuple[str, ...] = ()


def place(parts: Sequence[Part]) -> Placing:
    """Place `parts`, given in file-name order, on one timeline that starts at 0 seconds.

    By their recording times where every part has one and they tell the parts apart; real gaps
    are kept and overlaps reported. Otherwise one after the other, with a notice.
    """
    if len(parts) == 1:
        return Placing((0,), (0.0,))
    reason = _times_unusable(parts)
    if reason:
        return _one_after_another(parts, reason)
    moments = [part.recorded_at for part in parts if part.recorded_at is not None]
    first = min(moments)
    starts = [(moment - first).total_seconds() for moment in moments]
    order = sorted(range(len(parts)), key=lambda index: starts[index])
    offsets: list[float] = []
    notices: list[str] = []
    end, last = 0.0, parts[order[0]].name
    for index in order:
        part, start = parts[index], starts[index]
        overlap = end - start
        if overlap > _CLOCK_ROUNDING:
            notices.append(
                f"{part.name} begins {_span(overlap)} before {last} ends, going by their recording"
                " times; both are kept at those times."
            )
        elif overlap > 0:
            start = end
        elif offsets and -overlap > _ANOTHER_SITTING:
            notices.append(
                f"{_span(-overlap)} lie between {last} and {part.name}: are they one session?"
            )
        offsets.append(start)
        if start + part.duration > end:
            end, last = start + part.duration, part.name
    return Placing(tuple(order), tuple(offsets), tuple(notices))


def moved(one: Heard, offset: float) -> Heard:
    """An utterance `offset` seconds later, its words with it; times to the millisecond."""

    def later(seconds: float) -> float:
        return round(seconds + offset, 3)

    words = tuple(Word(w.text, later(w.start), later(w.end), w.probability) for w in one.words)
    return Heard(later(one.start), later(one.end), one.text, words)


def _times_unusable(parts: Sequence[Part]) -> str:
    without = [part.name for part in parts if part.recorded_at is None]
    moments = [part.recorded_at for part in parts if part.recorded_at is not None]
    if without:
        return f"{_some(without)} {'hold' if len(without) > 1 else 'holds'} no recording time"
    if len({moment.tzinfo is None for moment in moments}) > 1:
        return "only some of their recording times name a time zone"
    if len(set(moments)) < len(moments):
        return "some of their recording times are the same"
    return ""


def _one_after_another(parts: Sequence[Part], reason: str) -> Placing:
    offsets, end = [], 0.0
    for part in parts:
        offsets.append(end)
        end += part.duration
    notice = (
        f"The {len(parts)} files were put one after the other by file name, without gaps,"
        f" because {reason}."
    )
    return Placing(tuple(range(len(parts))), tuple(offsets), (notice,))


def _some(names: Sequence[str]) -> str:
    if len(names) <= 3:
        return ", ".join(names)
    return f"{', '.join(names[:2])} and {len(names) - 2} others"


def _span(seconds: float) -> str:
    if seconds < 90:
        return f"{seconds:.0f} seconds"
    return f"{seconds / 60:.0f} minutes" if seconds < 5400 else f"{seconds / 3600:.1f} hours"
