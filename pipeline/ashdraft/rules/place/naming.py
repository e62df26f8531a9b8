"""Words that name a third, as evidence tied to no third in particular.

How much it counts that the third described is (or is not) the third named is learned once for
all three, by kind of wording, by the turn of the sentence and by kind of recording.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model import Kind
from .states import STATES

WORDINGS = ("named", "part", "count", "place", "vague", "light", "measured")
TURNS = ("plain", "back", "ahead", "taken")
KINDS: tuple[Kind, ...] = ("live", "narration")
ROWS = len(WORDINGS) * len(TURNS) * len(KINDS)
FITS = ("unthirded", "whole", "agrees", "other")  # the third described against the third named
HANDS = ("agrees", "before", "after")  # the third at hand against the third named


_LIGHTING = {1: "c:burn.light"}  # lighting belongs to the first third


def _fit(k: int, third: int | None, relation: str) -> int:
    if third is None:
        return FITS.index("whole" if relation == "whole" else "unthirded")
    return FITS.index("agrees" if third == k else "other")


# For third k (rows 0 to 2) and every state: index into FITS, into HANDS.
FIT = np.array([[_fit(k, s.third, s.relation) for s in STATES] for k in (1, 2, 3)])
HAND = np.array(
    [[0 if s.current == k else 1 if s.current < k else 2 for s in STATES] for k in (1, 2, 3)]
)


@dataclass(frozen=True, slots=True)
class Namings:
    """Parallel arrays, one entry a naming: utterance, row of the weights, third from 0."""

    at: list[int]
    row: list[int]
    third: list[int]


def namings(found: Sequence[Sequence[str]], kind: Kind) -> Namings:
    """What names a third in each utterance, read off its features."""
    at, row, third = [], [], []
    for t, names in enumerate(found):
        here = set(names)
        turn = 0
        for i, cue in ((3, "c:third.taken-back"), (2, "c:third.look-ahead"),
                       (1, "c:third.look-back")):  # fmt: skip
            if cue in here:
                turn = i
                break
        for k in (1, 2, 3):
            for w, wording in enumerate(WORDINGS):
                name = {"count": f"part:{k}", "light": _LIGHTING.get(k, "")}.get(
                    wording, f"c:third.{k}.{wording}"
                )
                if name in here and (wording == "named" or "c:third.not" not in here):
                    at.append(t)
                    third.append(k - 1)
                    row.append((w * len(TURNS) + turn) * len(KINDS) + KINDS.index(kind))
    return Namings(at, row, third)


# What a reviewer would expect before any training: an outright naming counts most, a vague one
# least; after "looking back" the third at hand is another one; a naming taken back counts against.
_STRENGTH = {
    "named": 3.0, "part": 2.0, "count": 1.5, "place": 1.2, "vague": 0.8, "light": 1.5,
    "measured": 2.5,
}  # fmt: skip


def prior_fits() -> NDArray[np.float64]:
    """Expected weights, rows x FITS."""
    table = np.zeros((ROWS, len(FITS)))
    for w, wording in enumerate(WORDINGS):
        for turn in TURNS:
            strength = _STRENGTH[wording] * {"taken": -0.4, "ahead": 0.5}.get(turn, 1.0)
            for kind in range(len(KINDS)):
                row = (w * len(TURNS) + TURNS.index(turn)) * len(KINDS) + kind
                table[row, FITS.index("agrees")] = strength
                table[row, FITS.index("other")] = -strength
                table[row, FITS.index("whole")] = -0.3 * strength
    return table


def prior_hands() -> NDArray[np.float64]:
    """Expected weights, rows x HANDS."""
    table = np.zeros((ROWS, len(HANDS)))
    for w, wording in enumerate(WORDINGS):
        for turn in TURNS:
            strength = _STRENGTH[wording] * {
                "plain": 0.5, "back": 0.0, "ahead": -0.3, "taken": -0.4
            }[turn]  # fmt: skip
            for kind in range(len(KINDS)):
                row = (w * len(TURNS) + TURNS.index(turn)) * len(KINDS) + kind
                table[row, HANDS.index("agrees")] = strength
                if turn == "back":
                    table[row, HANDS.index("after")] = 0.5 * _STRENGTH[wording]
    return table
