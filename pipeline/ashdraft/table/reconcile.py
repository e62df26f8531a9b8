"""Taps beside what was said. The voice has the word; a tap fills in where nothing was said.

- A count of which nothing was said is that of the taps, and a check says so.
- Where taps and voice differ, what was said stands, and a check lists the difference.
- The same holds for when a third began and when the cigar was put down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from ..export.clock import chapter_time
from ..model import Check, Count, EventKind, Notes, Reading, Recording, Tapped, Timing
from .log import Log

APART = 180.0
"""Seconds by which a tapped moment may differ from the spoken one before it is a difference.

Common practice, no source: a puff or two, and the sentence is said after the deed.
"""
SAME = 60.0
"""Seconds within which a tap and a spoken event of its kind are one event."""
_NAMES = {
    "second_third": "The second third began",
    "final_third": "The final third began",
    "put_down": "The cigar was put down",
}


def with_taps(notes: Notes, log: Log) -> Notes:
    """Return `notes` with the taps of `log` in them, counts and times filled in, and checks.

    Typed words become the typed fact `note`, unless one was given.
    """
    zero = _zero(notes.recordings)
    if zero is None:
        return notes
    times = _times(log, zero)
    reading = notes.reading
    timing, checks = _timing(reading.timing, times)
    tapped = _tapped(times, reading, timing)
    touch_ups, about_touch_ups = _count("touch-up", reading.touch_ups, tapped)
    relights, about_relights = _count("relight", reading.relights, tapped)
    facts = dict(notes.typed_facts)
    if log.notes:
        facts.setdefault("note", "; ".join(_note(n.text, n.moment, zero) for n in log.notes))
    return replace(
        notes,
        reading=replace(
            reading,
            kind="live" if tapped else reading.kind,
            touch_ups=touch_ups,
            relights=relights,
            timing=timing,
        ),
        checks=(*notes.checks, *about_touch_ups, *about_relights, *checks),
        typed_facts=facts,
        taps=tapped,
    )


@dataclass(frozen=True, slots=True)
class _Times:
    """Seconds of the taps on the timeline; `begins` are those of the second and final third."""

    counted: tuple[tuple[EventKind, float], ...]
    begins: tuple[float, ...]
    put_down: float | None
    more: int


def _zero(recordings: Sequence[Recording]) -> datetime | None:
    """The moment at which the timeline is 0, or None where no recording knows its time."""
    first = min(recordings, key=lambda recording: recording.offset, default=None)
    if first is None or first.recorded_at is None:
        return None
    moment = datetime.fromisoformat(first.recorded_at)
    return moment if moment.tzinfo is not None else None


def _times(log: Log, zero: datetime) -> _Times:
    at = sorted((max((tap.moment - zero).total_seconds(), 0.0), tap.kind) for tap in log.taps)
    thirds = [seconds for seconds, kind in at if kind == "next-third"]
    down = [seconds for seconds, kind in at if kind == "put-down"]
    counted: list[tuple[EventKind, float]] = [
        (kind, seconds)
        for seconds, kind in at
        if kind == "touch-up" or kind == "relight" or kind == "ash-drop"
    ]
    return _Times(tuple(counted), tuple(thirds[:2]), down[-1] if down else None, len(thirds[2:]))


def _timing(spoken: Timing, times: _Times) -> tuple[Timing, list[Check]]:
    tapped = dict(zip(("second_third", "final_third"), times.begins, strict=False))
    if times.put_down is not None:
        tapped["put_down"] = times.put_down
    filled: dict[str, float] = {}
    checks = []
    for name, seconds in tapped.items():
        said: float | None = getattr(spoken, name)
        if said is None:
            filled[name] = seconds
        elif abs(said - seconds) > APART:
            checks.append(
                Check(
                    "third",
                    f"{_NAMES[name]} at {_clock(said)} by what was said and at {_clock(seconds)} by"
                    " your tap; what was said is used.",
                )
            )
    if times.more:
        checks.append(
            Check("third", f"Next third was tapped {times.more + 2} times; the first two are used.")
        )
    timing = replace(spoken, **filled)
    order = [t for t in (timing.lit, timing.second_third, timing.final_third, timing.put_down) if t]
    if filled and order != sorted(order):
        checks.append(
            Check(
                "third", "The tapped times of the thirds do not fit the spoken; they are left out."
            )
        )
        return spoken, checks
    return timing, checks


def _tapped(times: _Times, reading: Reading, timing: Timing) -> tuple[Tapped, ...]:
    ends: list[EventKind] = ["second-third", "final-third"]
    found = [
        *((kind, seconds) for kind, seconds in times.counted),
        *zip(ends, times.begins, strict=False),
    ]
    if times.put_down is not None:
        found.append(("put-down", times.put_down))
    return tuple(
        Tapped(
            kind, "tapped", _third(kind, seconds, timing), _said(kind, seconds, reading), seconds
        )
        for kind, seconds in sorted(found, key=lambda one: one[1])
    )


def _third(kind: EventKind, seconds: float, timing: Timing) -> int | None:
    """The third of a tap, where it is known when the thirds began."""
    if kind in ("second-third", "final-third"):
        return 2 if kind == "second-third" else 3
    if timing.final_third is not None and seconds >= timing.final_third:
        return 3
    if timing.second_third is not None:
        if seconds < timing.second_third:
            return 1
        return 2 if timing.final_third is not None else None
    return None


def _said(kind: EventKind, seconds: float, reading: Reading) -> int | None:
    """The utterance that tells of the same event, if one does."""
    near = [
        (abs(event.start - seconds), event.utterance)
        for event in reading.events
        if event.kind == kind and abs(event.start - seconds) <= SAME
    ]
    return min(near)[1] if near else None


def _count(
    kind: EventKind, spoken: Count, tapped: Sequence[Tapped]
) -> tuple[Count, tuple[Check, ...]]:
    mine = [tap for tap in tapped if tap.kind == kind]
    if not mine:
        return spoken, ()
    many = f"{len(mine)} {kind}{'' if len(mine) == 1 else 's'}"
    places = ", ".join(_clock(tap.start) for tap in mine)
    first, second, final = (sum(tap.third == third for tap in mine) for third in (1, 2, 3))
    thirds = (first, second, final)
    if not spoken.total and not spoken.utterances:
        text = f"{many} counted from your taps (at {places}); nothing was said of any."
        return Count(len(mine), thirds, ()), (Check("count", text),)
    if spoken.total != len(mine):
        text = f"{many} tapped (at {places}) and {spoken.total} said; what was said is used."
        return spoken, (Check("count", text, spoken.utterances),)
    fits = all(a <= b for a, b in zip(spoken.by_third, thirds, strict=True))
    if sum(spoken.by_third) < spoken.total == sum(thirds) and fits:
        return replace(spoken, by_third=thirds), ()
    return spoken, ()


def _note(text: str, moment: datetime, zero: datetime) -> str:
    return f"{' '.join(text.split())} ({_clock(max((moment - zero).total_seconds(), 0.0))})"


def _clock(seconds: float) -> str:
    return chapter_time(int(seconds))
