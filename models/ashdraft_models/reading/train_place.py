"""Trains the section-and-third decision from labelled recordings and writes place.npz.

    python -m ashdraft_models.reading.train_place FOLDER... [--out place.npz]
    python -m ashdraft_models.reading.train_place FOLDER... --cross-check

Needs scipy (L-BFGS). `--cross-check` leaves out one author at a time and prints the accuracy on
the author left out, with a table of stated against true confidence.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, sparse

from ashdraft.rules.nlp import analyse
from ashdraft.rules.place import chain
from ashdraft.rules.place.features import features, recorded_as
from ashdraft.rules.place.states import CURRENTS, MOVES, STATES, move
from ashdraft_models.reading.labelled import Labelled, load_folders, unpunctuated

Array = NDArray[np.float64]
HERE = Path(__file__).parent
PENALTY = {"section": 0.6, "current": 1.0, "relation": 1.0, "named": 1.5, "move": 1.5}
LEAST_SEEN = 2


def gold_currents(recording: Labelled) -> list[int]:
    """The third at hand at each utterance, from the thirds described and the events.

    The cheapest sequence: a third described that is not at hand costs 1; in a narration going on
    costs less and going back a little more than that; in notes made live the third at hand
    never goes back, and a put-down ends it.
    """
    live = recording.kind == "live"
    costs: list[dict[int, tuple[float, list[int]]]] = [{0: (0.0, [])}]
    down = False
    for u in recording.utterances:
        step: dict[int, tuple[float, list[int]]] = {}
        for now in CURRENTS:
            if live and (now == 4) != down:
                continue
            if not live and now == 4:
                continue
            own = float(u["third"] is not None and u["third"] != now)
            if "second-third" in u["events"] and now != 2:
                own += 2
            if "final-third" in u["events"] and now != 3:
                own += 2
            if "lit" in u["events"] and now != 1:
                own += 2
            best = None
            for before, (cost, path) in costs[-1].items():
                if live and before > now:
                    continue
                change = 0.0 if before == now else 0.01
                if not live:
                    change = {"stay": 0.0, "next": 0.3, "skip": 0.6, "back": 1.05}[
                        move(before, now)
                    ]
                total = cost + own + change
                if best is None or total < best[0]:
                    best = (total, [*path, now])
            if best:
                step[now] = best
        costs.append(step)
        down = down or "put-down" in u["events"]
    return min(costs[-1].values(), key=lambda c: c[0])[1]


def gold_path(recording: Labelled) -> list[int]:
    """Index into STATES for every utterance."""
    index = {(s.section, s.third, s.current): i for i, s in enumerate(STATES)}
    return [
        index[(u["section"], u["third"] if u["section"] in ("palate", "burn") else None, now)]
        for u, now in zip(recording.utterances, gold_currents(recording), strict=True)
    ]


@dataclass(frozen=True, slots=True)
class Example:
    author: str
    names: list[list[str]]
    kind: int
    path: list[int]


def examples(recordings: Sequence[Labelled]) -> list[Example]:
    """Features and gold states, each recording as written and without punctuation."""
    found = []
    for original in recordings:
        for recording in (original, unpunctuated(original)):
            lines = analyse(recording.said())
            kind = recorded_as(lines)
            found.append(
                Example(
                    recording.author,
                    features(lines, kind),
                    chain.KINDS.index(kind),
                    gold_path(recording),
                )
            )
    return found


def _pack(weights: dict[str, Array], order: Sequence[str]) -> Array:
    return np.concatenate([weights[k].ravel() for k in order])


def train(data: Sequence[Example], iterations: int = 120) -> chain.Weights:
    """Maximise the penalised likelihood of the gold states."""
    seen: Counter[str] = Counter()
    for e in data:
        seen.update({n for spoken in e.names for n in spoken})
    names = [n for n, c in seen.items() if c >= 2 * LEAST_SEEN]
    names += [f"rare:{i}" for i in range(5)] + [f"rare:{i}/10" for i in range(11)]
    vocabulary = {n: i for i, n in enumerate(sorted(names))}
    matrices = []
    for e in data:
        rows, columns = [], []
        for t, spoken in enumerate(e.names):
            present = chain.known(spoken, vocabulary)
            rows += [t] * len(present)
            columns += present
        matrices.append(
            sparse.csr_matrix(
                (np.ones(len(rows)), (rows, columns)), shape=(len(e.names), len(vocabulary))
            )
        )
    size = len(vocabulary)
    shapes = {name: (size, outputs) for name, outputs in chain.HEADS.items()}
    shapes |= {"T-section": (2, 9, 9), "T-current": (2, 5, 5), "T-relation": (2, 4, 4)}
    order = list(shapes)
    lengths = [int(np.prod(shapes[k])) for k in order]

    def unpack(flat: Array) -> dict[str, Array]:
        parts = np.split(flat, np.cumsum(lengths)[:-1])
        return {k: p.reshape(shapes[k]) for k, p in zip(order, parts, strict=True)}

    def weights_of(parts: dict[str, Array]) -> chain.Weights:
        heads = {name: parts[name] for name in chain.HEADS}
        return chain.Weights(
            vocabulary, heads, parts["T-section"], parts["T-current"], parts["T-relation"]
        )

    states = len(STATES)
    one_hot = {
        "section": np.eye(9)[chain.SECTION_OF],
        "current": np.eye(5)[chain.CURRENT_OF],
        "relation": np.eye(4)[chain.RELATION_OF],
        "named": np.concatenate([np.eye(3), np.zeros((1, 3))])[chain.NAMED_OF],
    }
    move_hot = np.eye(len(MOVES))[chain.MOVE_OF].reshape(states * states, len(MOVES))

    def loss(flat: Array) -> tuple[float, Array]:
        parts = unpack(flat)
        weights = weights_of(parts)
        gradient = {k: np.zeros(shapes[k]) for k in order}
        value = 0.0
        for e, x in zip(data, matrices, strict=True):
            sums = {name: x @ parts[name] for name in chain.HEADS}
            scores = chain.assemble(sums, e.kind, weights)
            single, double, total = chain.marginals(scores)
            steps = np.arange(len(e.path))
            path = np.array(e.path)
            value += total - scores.unary[steps, path].sum()
            value -= scores.pair[steps[:-1], path[:-1], path[1:]].sum()
            single[steps, path] -= 1.0
            double[steps[:-1], path[:-1], path[1:]] -= 1.0
            for name, hot in one_hot.items():
                gradient[name] += x.T @ (single @ hot)
            moves = np.zeros((len(path), len(MOVES)))
            moves[1:] = double.reshape(len(path) - 1, -1) @ move_hot
            gradient["move"] += x.T @ moves
            summed = double.sum(axis=0)
            for name, hot in (("T-section", "section"), ("T-current", "current"),
                              ("T-relation", "relation")):  # fmt: skip
                gradient[name][e.kind] += one_hot[hot].T @ summed @ one_hot[hot]
        scale = 2.0  # every recording stands in twice
        for k in order:
            penalty = scale * PENALTY.get(k, 0.2)
            value += 0.5 * penalty * float((parts[k] ** 2).sum())
            gradient[k] += penalty * parts[k]
        return value, _pack(gradient, order)

    result = optimize.minimize(
        loss, np.zeros(sum(lengths)), jac=True, method="L-BFGS-B", options={"maxiter": iterations}
    )
    return weights_of(unpack(result.x))


def save(weights: chain.Weights, path: Path) -> None:
    """Write what matters: features whose largest weight is not negligible, in half precision."""
    strongest = np.max([np.abs(weights.heads[h]).max(axis=1) for h in chain.HEADS], axis=0)
    keep = strongest > 0.02
    names = [n for n, i in sorted(weights.vocabulary.items(), key=lambda p: p[1]) if keep[i]]
    np.savez_compressed(
        path,
        names=np.array("\n".join(names)),
        sections=weights.sections.astype(np.float32),
        currents=weights.currents.astype(np.float32),
        relations=weights.relations.astype(np.float32),
        **{f"head_{h}": weights.heads[h][keep].astype(np.float16) for h in chain.HEADS},
    )


def judge(example: Example, weights: chain.Weights) -> list[tuple[bool, bool | None, float]]:
    """Per utterance: section right, third right (None where none is asked), confidence."""
    scores = chain.potentials(example.names, chain.KINDS[example.kind], weights)
    single, _, _ = chain.marginals(scores)
    found = chain.best_path(scores)
    verdicts = []
    for t, (want, got) in enumerate(zip(example.path, found, strict=True)):
        gold, guess = STATES[want], STATES[got]
        same = (chain.SECTION_OF == chain.SECTION_OF[got]) & np.array(
            [s.third == guess.third for s in STATES]
        )
        third = gold.third == guess.third if gold.section in ("palate", "burn") else None
        verdicts.append((gold.section == guess.section, third, float(single[t][same].sum())))
    return verdicts


def cross_check(data: Sequence[Example], iterations: int) -> None:
    """Leave one author out at a time; print accuracies and the calibration table."""
    everything = []
    for author in sorted({e.author for e in data}):
        weights = train([e for e in data if e.author != author], iterations)
        for style in (0, 1):
            mine = [e for i, e in enumerate(data) if e.author == author and i % 2 == style]
            verdicts = [v for e in mine for v in judge(e, weights)]
            if style == 0:
                everything += verdicts
            thirds = [t for _, t, _ in verdicts if t is not None]
            print(
                f"{author:6} {'raw' if style else '   '} section "
                f"{np.mean([s for s, _, _ in verdicts]):.3f} third {np.mean(thirds):.3f}",
                flush=True,
            )
    thirds = [t for _, t, _ in everything if t is not None]
    print(f"all    section {np.mean([s for s, _, _ in everything]):.3f} third {np.mean(thirds):.3f}")
    for low in np.arange(0.0, 1.0, 0.1):
        inside = [(s and t is not False) for s, t, c in everything if low <= c < low + 0.1 + 1e-9]
        if inside:
            print(f"confidence {low:.1f}-{low + 0.1:.1f}: right {np.mean(inside):.2f} of {len(inside)}")


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, default=HERE / "place.npz")
    parser.add_argument("--iterations", type=int, default=120)
    parser.add_argument("--cross-check", action="store_true")
    asked = parser.parse_args(arguments)
    data = examples(load_folders(asked.folders))
    if asked.cross_check:
        cross_check(data, asked.iterations)
    else:
        save(train(data, asked.iterations), asked.out)
    return 0


if __name__ == "__main__":
    sys.exit(main())
