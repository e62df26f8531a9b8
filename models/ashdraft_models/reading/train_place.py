"""Trains the section-and-third decision from labelled recordings and writes place.npz.

    python -m ashdraft_models.reading.train_place FOLDER... [--out place.npz]
    python -m ashdraft_models.reading.train_place FOLDER... --cross-check

Needs scipy (L-BFGS). `--cross-check` leaves out one author at a time and prints the accuracy on
the author left out, and writes place_calibration.json: stated against true confidence.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from ashdraft.model import SECTIONS
from ashdraft.rules.nlp import analyse
from ashdraft.rules.place import chain, naming
from ashdraft.rules.place.features import features, recorded_as
from ashdraft.rules.place.position import measured
from ashdraft.rules.place.states import CURRENTS, STATES, move
from numpy.typing import NDArray
from scipy import optimize, sparse

from ashdraft_models.reading.labelled import Labelled, load_folders, unpunctuated

Array = NDArray[np.float64]
HERE = Path(__file__).parent
PENALTY = {
    "section": 0.8, "current": 0.3, "relation": 1.0, "named": 0.6, "move": 0.3, "fits": 0.6,
    "hands": 0.6,
}  # fmt: skip
OTHER_PENALTY = 0.4
COPIES = 2  # every recording is learned as written and without punctuation
LEAST_SEEN = 2
# Thirds must not hang on single words that happen to recur, only on words that tell the place in
# the stick or whose voice it is, on lighting and putting down, and on time.
EVIDENCE = {
    "current": re.compile(r"bias|kind:|t:(lit|minutes)|c:burn\.(light|down)"),
    "move": re.compile(r"bias|kind:|c:third|part:|n:length|b:(and then|so now|now the|then the)"),
    "named": re.compile(r"bias|c:third|part:"),
    "relation": re.compile(
        r"bias|kind:|c:|v:|n:|t:(lit|narration)|len:|-1c:third|f:terms|w:(there|here|still|then)$"
    ),
}


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
            lines = measured(analyse(recording.said()))
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


def train(data: Sequence[Example], iterations: int = 100) -> chain.Weights:
    """Maximise the penalised likelihood of the gold states."""
    seen: Counter[str] = Counter()
    for e in data:
        seen.update({n for spoken in e.names for n in spoken})
    names = [n for n, c in seen.items() if c >= COPIES * LEAST_SEEN]
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
    shapes: dict[str, tuple[int, ...]] = {
        name: (size, outputs) for name, outputs in chain.HEADS.items()
    }
    shapes |= {"T-section": (2, 9, 9), "T-current": (2, 5, 5), "T-relation": (2, 4, 4)}
    shapes |= {"entering": (2, len(chain.ENTERED), 5)}
    shapes |= {"fits": (naming.ROWS, len(naming.FITS)), "hands": (naming.ROWS, len(naming.HANDS))}
    order = list(shapes)
    lengths = [int(np.prod(shapes[k])) for k in order]

    def unpack(flat: Array) -> dict[str, Array]:
        parts = np.split(flat, np.cumsum(lengths)[:-1])
        return {k: p.reshape(shapes[k]) for k, p in zip(order, parts, strict=True)}

    def weights_of(parts: dict[str, Array]) -> chain.Weights:
        heads = {name: parts[name] for name in chain.HEADS}
        return chain.Weights(
            vocabulary, heads, parts["T-section"], parts["T-current"], parts["T-relation"],
            parts["fits"], parts["hands"], parts["entering"],
        )  # fmt: skip

    one_hot = {
        "section": np.eye(9)[chain.SECTION_OF],
        "current": np.eye(5)[chain.CURRENT_OF],
        "relation": np.eye(4)[chain.RELATION_OF],
        "named": np.concatenate([np.eye(3), np.zeros((1, 3))])[chain.NAMED_OF],
    }
    fit_hot = np.eye(len(naming.FITS))[naming.FIT]
    hand_hot = np.eye(len(naming.HANDS))[naming.HAND]

    allowed = {name: np.zeros((size, 1)) for name in EVIDENCE}
    for name, pattern in EVIDENCE.items():
        allowed[name][[i for n, i in vocabulary.items() if pattern.match(n)]] = 1.0

    def loss(flat: Array) -> tuple[float, Array]:
        parts = unpack(flat)
        weights = weights_of(parts)
        gradient = {k: np.zeros(shapes[k]) for k in order}
        value = 0.0
        for e, x in zip(data, matrices, strict=True):
            sums = {name: x @ parts[name] for name in chain.HEADS}
            named = naming.namings(e.names, chain.KINDS[e.kind])
            scores = chain.assemble(sums, named, e.kind, weights)
            found = chain.marginals(scores)
            single = found.single
            steps = np.arange(len(e.path))
            path = np.array(e.path)
            moved = chain.MOVE_OF[path[:-1], path[1:]]
            value += found.total - scores.unary[steps, path].sum()
            value -= scores.fixed[path[:-1], path[1:]].sum() + scores.moves[steps[1:], moved].sum()
            single[steps, path] -= 1.0
            np.subtract.at(found.pairs, (path[:-1], path[1:]), 1.0)
            found.moves[steps[1:], moved] -= 1.0
            for name, hot in one_hot.items():
                gradient[name] += x.T @ (single @ hot)
            gradient["move"] += x.T @ found.moves
            for name, hot_name in (("T-section", "section"), ("T-current", "current"),
                                   ("T-relation", "relation")):  # fmt: skip
                hot = one_hot[hot_name]
                gradient[name][e.kind] += hot.T @ found.pairs @ hot
            for i, target in enumerate(chain.ENTERED):
                inside = SECTIONS.index(target) == chain.SECTION_OF
                entered = (chain.ENTERS[i] @ found.pairs) * inside
                gradient["entering"][e.kind][i] += entered @ one_hot["current"]
            for t, row, third in zip(named.at, named.row, named.third, strict=True):
                gradient["fits"][row] += single[t] @ fit_hot[third]
                gradient["hands"][row] += single[t] @ hand_hot[third]
        for name, mask in allowed.items():
            gradient[name] *= mask
        for k in order:
            penalty = COPIES * PENALTY.get(k, OTHER_PENALTY)
            away = parts[k] - prior.get(k, 0.0)
            value += 0.5 * penalty * float((away**2).sum())
            gradient[k] += penalty * away
        return value, _pack(gradient, order)

    prior = {"fits": naming.prior_fits(), "hands": naming.prior_hands()}
    start = _pack({k: np.zeros(shapes[k]) + prior.get(k, 0.0) for k in order}, order)
    result = optimize.minimize(
        loss, start, jac=True, method="L-BFGS-B", options={"maxiter": iterations}
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
        **{t: getattr(weights, t).astype(np.float32) for t in chain.TABLES},
        **{f"head_{h}": weights.heads[h][keep].astype(np.float16) for h in chain.HEADS},
    )


def judge(example: Example, weights: chain.Weights) -> list[tuple[bool, bool | None, float]]:
    """Per utterance: section right, third right (None where none is asked), confidence."""
    scores = chain.potentials(example.names, chain.KINDS[example.kind], weights)
    single = chain.marginals(scores).single
    found = chain.best_path(scores)
    verdicts = []
    for t, (want, got) in enumerate(zip(example.path, found, strict=True)):
        gold, guess = STATES[want], STATES[got]
        same = (chain.SECTION_OF[got] == chain.SECTION_OF) & np.array(
            [s.third == guess.third for s in STATES]
        )
        third = gold.third == guess.third if gold.section in ("palate", "burn") else None
        verdicts.append((gold.section == guess.section, third, float(single[t][same].sum())))
    return verdicts


def cross_check(data: Sequence[Example], iterations: int) -> dict[str, list[float]]:
    """Leave one author out at a time; print accuracies and return the calibration table."""
    everything: list[tuple[bool, bool | None, float]] = []
    for author in sorted({e.author for e in data}):
        weights = train([e for e in data if e.author != author], iterations)
        verdicts = [v for e in data[::COPIES] if e.author == author for v in judge(e, weights)]
        everything += verdicts
        _print_accuracy(author, verdicts)
    _print_accuracy("all", everything)
    return calibration(everything)


def _print_accuracy(name: str, verdicts: Sequence[tuple[bool, bool | None, float]]) -> None:
    section = np.mean([s for s, _, _ in verdicts])
    third = np.mean([t for _, t, _ in verdicts if t is not None])
    print(f"{name:8} section {section:.3f} third {third:.3f}", flush=True)


def calibration(verdicts: Sequence[tuple[bool, bool | None, float]]) -> dict[str, list[float]]:
    """Stated against true confidence, both right, in ten equal groups, made to rise."""
    order = sorted(verdicts, key=lambda v: v[2])
    stated, right = [0.0], [0.0]
    for group in np.array_split(np.arange(len(order)), 10):
        inside = [order[i] for i in group]
        stated.append(float(np.mean([c for _, _, c in inside])))
        share = float(np.mean([s and t is not False for s, t, _ in inside]))
        right.append(max(share, right[-1]))
        print(f"stated {stated[-1]:.2f}: right {share:.2f} of {len(inside)}")
    return {"stated": [*stated, 1.0], "right": [*right, max(right)]}


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, default=HERE / "place.npz")
    parser.add_argument("--iterations", type=int, default=100)
    parser.add_argument("--cross-check", action="store_true")
    asked = parser.parse_args(arguments)
    data = examples(load_folders(asked.folders))
    if asked.cross_check:
        table = cross_check(data, asked.iterations)
        text = json.dumps({k: [round(v, 4) for v in values] for k, values in table.items()})
        asked.out.with_name("place_calibration.json").write_text(text + "\n", encoding="utf-8")
    else:
        save(train(data, asked.iterations), asked.out)
    return 0


if __name__ == "__main__":
    sys.exit(main())
