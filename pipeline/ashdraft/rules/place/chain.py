"""A linear-chain conditional random field over `STATES` (Lafferty, McCallum, Pereira 2001).

Scores are sums of named feature weights in five heads (section, third at hand, relation, third
named, move of the third) plus transition weights; numpy only. Shapes: T utterances, S states.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model import SECTIONS, Kind, Section
from .naming import FIT, HAND, Namings, namings
from .states import CURRENTS, MOVES, RELATIONS, STATES, move

Array = NDArray[np.float64]
HEADS = {
    "section": len(SECTIONS),
    "current": len(CURRENTS),
    "relation": len(RELATIONS),
    "named": 3,
    "move": len(MOVES),
}
TABLES = ("sections", "currents", "relations", "fits", "hands", "entering")
KINDS: tuple[Kind, ...] = ("live", "narration")

SECTION_OF = np.array([SECTIONS.index(s.section) for s in STATES])
CURRENT_OF = np.array([s.current for s in STATES])
RELATION_OF = np.array([RELATIONS.index(s.relation) for s in STATES])
NAMED_OF = np.array([s.third - 1 if s.relation == "other" and s.third else -1 for s in STATES])
ENTERED: tuple[Section, ...] = ("palate", "burn")
# For each of those: which states before it are another talk (asides are none).
ENTERS = np.array(
    [[float(s.section not in (target, "aside")) for s in STATES] for target in ENTERED]
)
MOVE_OF = np.array([[MOVES.index(move(a.current, b.current)) for b in STATES] for a in STATES])


@dataclass(frozen=True, slots=True)
class Weights:
    """Heads: name to (features x outputs); transitions per kind of recording.

    `fits` and `hands`: what a naming of a third counts for (see naming.py).
    """

    vocabulary: dict[str, int]
    heads: dict[str, Array]
    sections: Array  # kind x section x section
    currents: Array  # kind x current x current
    relations: Array  # kind x relation x relation
    fits: Array  # naming rows x fits
    hands: Array  # naming rows x hands
    entering: Array  # kind x (palate, burn) x current: where a talk on palate or burn begins


@dataclass(frozen=True, slots=True)
class Potentials:
    """In log space: `unary` T x S, `fixed` S x S for every step, `moves` T x moves (from 1)."""

    unary: Array
    fixed: Array
    moves: Array

    def step(self, t: int) -> Array:
        """Scores S x S of the step into utterance `t`."""
        scores: Array = self.fixed + self.moves[t][MOVE_OF]
        return scores


@dataclass(frozen=True, slots=True)
class Marginals:
    """`single` T x S; `pairs` S x S summed over steps; `moves` T x moves; log partition."""

    single: Array
    pairs: Array
    moves: Array
    total: float


def known(names: Sequence[str], vocabulary: dict[str, int]) -> list[int]:
    """Indices of an utterance's features, with a count of its words never seen in training."""
    rare = sum(n.startswith("w:") and n not in vocabulary for n in names)
    words = sum(n.startswith("w:") for n in names)
    counts = (f"rare:{min(rare, 4)}", f"rare:{10 * rare // max(1, words)}/10")
    return [vocabulary[n] for n in (*names, *counts) if n in vocabulary]


def potentials(found: Sequence[Sequence[str]], kind: Kind, weights: Weights) -> Potentials:
    """Scores of every state and step for one recording."""
    steps = len(found)
    sums = {name: np.zeros((steps, size)) for name, size in HEADS.items()}
    for t, names in enumerate(found):
        present = known(names, weights.vocabulary)
        for head in HEADS:
            sums[head][t] = weights.heads[head][present].sum(axis=0)
    return assemble(sums, namings(found, kind), KINDS.index(kind), weights)


def assemble(
    sums: dict[str, Array], named_thirds: Namings, kind: int, weights: Weights
) -> Potentials:
    """Potentials from the heads' sums (T x outputs each) and the namings of thirds."""
    named = np.concatenate([sums["named"], np.zeros((len(sums["named"]), 1))], axis=1)
    unary = (
        sums["section"][:, SECTION_OF]
        + sums["current"][:, CURRENT_OF]
        + sums["relation"][:, RELATION_OF]
        + named[:, NAMED_OF]
    )
    for t, row, third in zip(named_thirds.at, named_thirds.row, named_thirds.third, strict=True):
        unary[t] += weights.fits[row][FIT[third]] + weights.hands[row][HAND[third]]
    if kind == 0 and len(unary):  # notes made live begin before lighting or soon after
        unary[0] -= 20.0 * (CURRENT_OF > 1)
    fixed = (
        weights.sections[kind][SECTION_OF[:, None], SECTION_OF[None, :]]
        + weights.currents[kind][CURRENT_OF[:, None], CURRENT_OF[None, :]]
        + weights.relations[kind][RELATION_OF[:, None], RELATION_OF[None, :]]
    )
    for i, target in enumerate(ENTERED):
        fixed = fixed + np.outer(ENTERS[i], weights.entering[kind][i][CURRENT_OF]) * (
            SECTIONS.index(target) == SECTION_OF
        )
    if kind == 0:  # a stick only gets shorter
        fixed = fixed - 20.0 * (MOVES.index("back") == MOVE_OF)
    return Potentials(unary, fixed, sums["move"])


def marginals(scores: Potentials) -> Marginals:
    """Forward-backward with scaling (Rabiner 1989): probabilities of states and steps."""
    steps, states = scores.unary.shape
    tops = scores.unary.max(axis=1, keepdims=True)
    own = np.exp(scores.unary - tops)
    fixed = np.exp(scores.fixed - scores.fixed.max())
    moved = np.exp(scores.moves - scores.moves.max(axis=1, keepdims=True))
    forward, backward = np.empty((steps, states)), np.ones((steps, states))
    scale = np.empty(steps)
    for t in range(steps):
        reach = own[0] if t == 0 else (forward[t - 1] @ (fixed * moved[t][MOVE_OF])) * own[t]
        scale[t] = reach.sum()
        forward[t] = reach / scale[t]
    pairs, moves = np.zeros((states, states)), np.zeros((steps, len(MOVES)))
    for t in range(steps - 1, 0, -1):
        onward = own[t] * backward[t] / scale[t]
        way = fixed * moved[t][MOVE_OF]
        double = forward[t - 1][:, None] * way * onward[None, :]
        pairs += double
        moves[t] = np.bincount(MOVE_OF.ravel(), double.ravel(), len(MOVES))
        backward[t - 1] = way @ onward
    total = float(np.log(scale).sum() + tops.sum() + (steps - 1) * scores.fixed.max())
    total += float(scores.moves[1:].max(axis=1).sum()) if steps > 1 else 0.0
    return Marginals(forward * backward, pairs, moves, total)


def best_path(scores: Potentials) -> list[int]:
    """The most likely sequence of states (Viterbi)."""
    steps = len(scores.unary)
    if not steps:
        return []
    value = scores.unary[0]
    back = []
    for t in range(1, steps):
        options = value[:, None] + scores.step(t)
        back.append(options.argmax(axis=0))
        value = options.max(axis=0) + scores.unary[t]
    path = [int(value.argmax())]
    for pointers in reversed(back):
        path.append(int(pointers[path[-1]]))
    return path[::-1]
