"""What the rules for counts hand to each other. All positions are words of the stream."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ...model import Check, Count, Event, EventKind, Timing

Reach = Literal["part", "plain", "so far", "whole"]
"""Of one third; not said; up to now; over the whole stick."""

Tally = Literal["touch-up", "relight"]
Mood = Literal["done", "intent", "near", "none", "elsewhere"]
"""Done; not yet; nearly; said not to have happened; not about this stick."""


@dataclass(frozen=True, slots=True)
class Mention:
    """A handling of the stick in words `first` to `end` of line `line` (an index).

    `times` is how often the words say it happened, `later` that they tell of it afterwards,
    `sure` (0 to 1) how surely they mean this kind.
    """

    kind: EventKind
    line: int
    first: int
    end: int
    mood: Mood
    times: int = 1
    later: bool = False
    sure: float = 1.0
    third: int | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """A total said in words `first` to `end`: `two touch-ups`, `that's three`."""

    kind: Tally
    value: int
    line: int
    first: int
    end: int
    reach: Reach = "plain"


@dataclass(frozen=True, slots=True)
class Split:
    """A total told by thirds: `one at the top, two in the middle`."""

    kind: Tally
    by_third: tuple[int, int, int]
    line: int


@dataclass(frozen=True, slots=True)
class Candidates:
    """All that was found in the lines, before sections and thirds are known."""

    mentions: tuple[Mention, ...]
    claims: tuple[Claim, ...]
    splits: tuple[Split, ...]

    def lines_of(self, kind: EventKind) -> tuple[int, ...]:
        """Indices of the lines that say that this happened."""
        return tuple(
            dict.fromkeys(m.line for m in self.mentions if m.kind == kind and m.mood == "done")
        )


@dataclass(frozen=True, slots=True)
class Counted:
    """Events, reconciled counts and times of one recording, with what cannot be reconciled."""

    events: tuple[Event, ...]
    touch_ups: Count
    relights: Count
    timing: Timing
    checks: tuple[Check, ...]
