"""Which utterances become captions: asides may be left out, long pauses may be shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..model import Said, Section
from .cues import APART

SHORTEST_PAUSE = 3.0
"""Seconds; in a shorter one there is no room to read a line about it."""
_SHOWN = 2.0


@dataclass(frozen=True, slots=True)
class Shown:
    """What is to be shown. `pauses`: seconds from which on a pause gets a line, None never."""

    asides: bool = True
    pauses: float | None = None


def lines_to_show(
    utterances: Sequence[Said], sections: Mapping[int, Section], shown: Shown
) -> tuple[Said, ...]:
    """Return the utterances for captions, in time order.

    A pause is the time between two utterances of the recording, whether they are shown or not;
    it gets one line, in brackets as is usual for what is not speech, at its beginning.
    """
    in_order = sorted(utterances, key=lambda u: (u.start, u.end))
    kept = [u for u in in_order if shown.asides or sections.get(u.id) != "aside"]
    if shown.pauses is None:
        return tuple(kept)
    return tuple(sorted([*kept, *_pauses(in_order, shown.pauses)], key=lambda u: u.start))


def _pauses(utterances: Sequence[Said], shortest: float) -> list[Said]:
    found = []
    until = utterances[0].end if utterances else 0.0
    for utterance in utterances[1:]:
        length = utterance.start - until
        if length >= max(shortest, SHORTEST_PAUSE):
            text = f"[{_length(length)} without speech]"
            start = until + APART  # so that it never shares a caption with speech
            found.append(Said(-1, start, start + _SHOWN, text, text, text))
        until = max(until, utterance.end)
    return found


def _length(seconds: float) -> str:
    minutes = round(seconds / 60)
    return f"{minutes} minutes" if seconds >= 90 else f"{round(seconds)} seconds"
