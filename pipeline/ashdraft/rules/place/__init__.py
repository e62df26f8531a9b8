"""Sections and thirds: one sequence decision over the whole recording.

Rule evidence (cue phrases, terms, number shapes, time) becomes features; trained weights
(models/ashdraft_models/reading/place.npz) turn them into scores; the best path through the
states gives every utterance its section and third together.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache

import ashdraft_models
import numpy as np

from ...errors import DataDamaged
from ...model import Kind
from ..lines import Line
from . import chain
from .basis import third_bases
from .features import features, recorded_as
from .model import Placed
from .position import measured
from .states import STATES

__all__ = ["Placed", "explain", "place", "recorded_as"]


@cache
def weights() -> chain.Weights:
    """The trained weights, read once."""
    path = ashdraft_models.ROOT / "reading" / "place.npz"
    try:
        with np.load(path) as stored:
            names = str(stored["names"]).split("\n")
            return chain.Weights(
                {name: i for i, name in enumerate(names)},
                {h: stored[f"head_{h}"].astype(np.float64) for h in chain.HEADS},
                *(stored[k].astype(np.float64) for k in chain.TABLES),
            )
    except (OSError, KeyError, ValueError) as error:
        raise DataDamaged(f"{path.name} cannot be read.", "Install Ashdraft again.") from error


@cache
def _calibration() -> tuple[list[float], list[float]]:
    path = ashdraft_models.ROOT / "reading" / "place_calibration.json"
    table = json.loads(path.read_text(encoding="utf-8"))
    return table["stated"], table["right"]


def place(lines: Sequence[Line], recorded: Kind) -> tuple[Placed, ...]:
    """Section, third and confidence of each line; `recorded` as `recorded_as` tells."""
    if not lines:
        return ()
    lines = measured(lines)
    scores = chain.potentials(features(lines, recorded), recorded, weights())
    single = chain.marginals(scores).single
    states = [STATES[i] for i in chain.best_path(scores)]
    bases = third_bases(lines, states)
    placed = []
    for t, (state, basis) in enumerate(zip(states, bases, strict=True)):
        same = [s.section == state.section and s.third == state.third for s in STATES]
        stated = float(single[t][same].sum())
        sure = float(np.interp(stated, *_calibration()))
        placed.append(Placed(state.section, state.third, basis, round(sure, 3), state.current))
    return tuple(placed)


def explain(lines: Sequence[Line], recorded: Kind, index: int, most: int = 6) -> list[str]:
    """Why line `index` got its section: the features that weighed most, with their weights."""
    placed = place(lines, recorded)[index]
    lines = measured(lines)
    trained = weights()
    column = chain.SECTION_OF[next(i for i, s in enumerate(STATES) if s.section == placed.section)]
    head = trained.heads["section"]
    known = {n: trained.vocabulary[n] for n in features(lines, recorded)[index]
             if n in trained.vocabulary}  # fmt: skip
    lead = {n: float(head[i, column] - head[i].mean()) for n, i in known.items()}
    strongest = sorted(lead.items(), key=lambda p: -p[1])[:most]
    return [f"{_in_words(name)} {weight:+.2f}" for name, weight in strongest if weight > 0]


_NAMES = {
    "w": "word", "b": "words", "c": "cue", "f": "note family", "d": "kind of noun", "v": "voice",
    "n": "number", "t": "time", "first": "begins with", "first2": "begins with",
    "last": "ends with", "part": "part of the stick", "len": "length", "rare": "unknown words",
    "kind": "recorded as",
}  # fmt: skip


def _in_words(feature: str) -> str:
    """A feature's name for a reader: `-1c:burn.ash` is `sentence before: cue burn.ash`."""
    where = {"-1": "sentence before: ", "+1": "sentence after: "}.get(feature[:2], "")
    where = {"-2": "two before: ", "+2": "two after: "}.get(feature[:2], where)
    kind, _, rest = (feature[2:] if where else feature).partition(":")
    return f"{where}{_NAMES.get(kind, kind)} {rest}".rstrip()
