"""A linear-chain conditional random field over `STATES` (Lafferty, McCallum, Pereira 2001).

Scores are sums of named feature weights in five heads (section, third at hand, relation, third
named, move of the third) plus transition weights; numpy only. Shapes: T utterances, S states.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...model import SECTIONS, Kind
from .states import CURRENTS, MOVES, RELATIONS, STATES, move

Array = NDArray[np.float64]
HEADS = {
    "section": len(SECTIONS),
    "current": len(CURRENTS),
    "relation": len(RELATIONS),
    "named": 3,
    "move": len(MOVES),
}
KINDS: tuple[Kind, ...] = ("live", "narration")

SECTION_OF = np.array([SECTIONS.index(s.section) for s in STATES])
CURRENT_OF = np.array([s.current for s in STATES])
RELATION_OF = np.array([RELATIONS.index(s.relation) for s in STATES])
NAMED_OF = np.array([s.third - 1 if s.relation == "other" and s.third else -1 for s in STATES])
MOVE_OF = np.array([[MOVES.index(move(a.current, b.current)) for b in STATES] for a in STATES])


@dataclass(frozen=True, slots=True)
class Weights:
    """Heads: name to (features x outputs); transitions per kind of recording."""

    vocabulary: dict[str, int]
    heads: dict[str, Array]
    sections: Array  # kind x section x section
    currents: Array  # kind x current x current
    relations: Array  # kind x relation x relation


@dataclass(frozen=True, slots=True)
class Potentials:
    """`unary` T x S and `pair` (T-1) x S x S, in log space."""

    unary: Array
    pair: Array


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
    return assemble(sums, KINDS.index(kind), weights)


def assemble(sums: dict[str, Array], kind: int, weights: Weights) -> Potentials:
    """Potentials from the heads' sums (T x outputs each)."""
    named = np.concatenate([sums["named"], np.zeros((len(sums["named"]), 1))], axis=1)
    unary = (
        sums["section"][:, SECTION_OF]
        + sums["current"][:, CURRENT_OF]
        + sums["relation"][:, RELATION_OF]
        + named[:, NAMED_OF]
    )
    if kind == 0 and len(unary):  # notes made live begin before lighting or soon after
        unary[0] -= 20.0 * (CURRENT_OF > 1)
    fixed = (
        weights.sections[kind][SECTION_OF[:, None], SECTION_OF[None, :]]
        + weights.currents[kind][CURRENT_OF[:, None], CURRENT_OF[None, :]]
        + weights.relations[kind][RELATION_OF[:, None], RELATION_OF[None, :]]
    )
    if kind == 0:  # a stick only gets shorter
        fixed = fixed - 20.0 * (MOVE_OF == MOVES.index("back"))
    pair = fixed[None] + sums["move"][1:][:, MOVE_OF]
    return Potentials(unary, pair)


def _log_sum(a: Array, axis: int) -> Array:
    top = a.max(axis=axis, keepdims=True)
    total: Array = np.log(np.exp(a - top).sum(axis=axis)) + top.squeeze(axis)
    return total


def marginals(scores: Potentials) -> tuple[Array, Array, float]:
    """State probabilities T x S, pair probabilities (T-1) x S x S and log partition."""
    steps, states = scores.unary.shape
    forward = np.empty((steps, states))
    backward = np.zeros((steps, states))
    forward[0] = scores.unary[0]
    for t in range(1, steps):
        forward[t] = scores.unary[t] + _log_sum(forward[t - 1][:, None] + scores.pair[t - 1], 0)
    for t in range(steps - 2, -1, -1):
        onward = scores.pair[t] + (scores.unary[t + 1] + backward[t + 1])[None, :]
        backward[t] = _log_sum(onward, 1)
    total = float(_log_sum(forward[-1], 0))
    single = np.exp(forward + backward - total)
    ahead = scores.unary[1:] + backward[1:]
    double = np.exp(forward[:-1, :, None] + scores.pair + ahead[:, None, :] - total)
    return single, double, total


def best_path(scores: Potentials) -> list[int]:
    """The most likely sequence of states (Viterbi)."""
    steps = len(scores.unary)
    if not steps:
        return []
    value = scores.unary[0]
    back = []
    for t in range(1, steps):
        options = value[:, None] + scores.pair[t - 1]
        back.append(options.argmax(axis=0))
        value = options.max(axis=0) + scores.unary[t]
    path = [int(value.argmax())]
    for pointers in reversed(back):
        path.append(int(pointers[path[-1]]))
    return path[::-1]
