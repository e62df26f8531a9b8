"""The states of the sequence decision: section, third described, and third at hand.

A state says what an utterance is about (`section`), which third it describes (`third`, palate
and burn only) and which third is being smoked or told (`current`: 0 before lighting, 1 to 3,
4 when the stick is down). `relation` names how the two thirds meet.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...model import SECTIONS, Section

RELATIONS = ("none", "whole", "current", "other")
CURRENTS = (0, 1, 2, 3, 4)
THIRDED = ("palate", "burn")


@dataclass(frozen=True, slots=True)
class State:
    section: Section
    third: int | None
    current: int
    relation: str


def _states() -> tuple[State, ...]:
    found: list[State] = []
    for section in SECTIONS:
        for current in CURRENTS:
            if section not in THIRDED:
                found.append(State(section, None, current, "none"))
                continue
            found.append(State(section, None, current, "whole"))
            for third in (1, 2, 3):
                found.append(
                    State(section, third, current, "current" if third == current else "other")
                )
    return tuple(found)


STATES = _states()
MOVES = ("stay", "next", "skip", "back")


def move(before: int, after: int) -> str:
    """How the third at hand changes between two utterances."""
    if after == before:
        return "stay"
    if after == before + 1:
        return "next"
    return "skip" if after > before else "back"
