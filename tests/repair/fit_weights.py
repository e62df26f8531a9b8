"""Fits the weights with which the repair judges candidates, and shows what they do.

    python -m tests.repair.fit_weights [--unchecked] [--show N]

Recognised recordings with known words (recordings.py) show which candidates were right;
labelled texts as they stand show what must be left alone. The model of reviewers' speech is
counted anew for each author without their own recordings, so that nobody's words vouch for
themselves. Writes models/ashdraft_models/repair/weights.toml. Needs scipy.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from ashdraft.model import Heard
from ashdraft.repair.candidates import Candidate, Search
from ashdraft.repair.row import said_in, weighed
from ashdraft.repair.text import spoken
from ashdraft.repair.vocabulary import standard
from ashdraft.repair.weigh import NAMES, PATH, features
from ashdraft_models.repair.train_spoken import texts_of
from numpy.typing import NDArray
from scipy.optimize import minimize

from tests.repair.measured import FOLDERS, without
from tests.repair.recordings import edits, recordings
from tests.speech.measure import words as normalised

PENALTY = 0.02  # on squared weights, the bias apart
GIVEN = {"name": 1.0}  # no names were typed for these recordings: set, not fitted
TEXT_SHARE = 0.35  # weight of a place in a clean text beside one in a recognised recording


@dataclass(frozen=True, slots=True)
class Seen:
    """A candidate with what it did: words in error after it less those before it."""

    candidate: Candidate
    features: tuple[float, ...]
    change: int
    where: str


def recognised(checked: bool | None) -> Iterator[list[Seen]]:
    """Candidates of each utterance of the recognised recordings."""
    for recording in recordings(checked=checked):
        search = Search(standard(), without(recording.author))
        session = said_in(h.text for h in recording.heard)
        for heard, meant in zip(recording.heard, recording.meant(), strict=True):
            row = spoken(heard.text)
            lower = [w.lower for w in row]
            told = weighed(heard, row, session)
            before = edits(meant, normalised(heard.text))
            seen: list[Seen] = []
            for c in search.candidates(row):
                start, stop = row[c.first].start, row[c.end - 1].stop
                text = heard.text[:start] + c.meant.written + heard.text[stop:]
                change = edits(meant, normalised(text)) - before
                found = features(c, told, search.language)
                seen.append(Seen(c, found, change, _where(recording.name, lower, c)))
            yield seen


def untouched() -> Iterator[list[Seen]]:
    """Candidates of each utterance of the labelled texts, all of them wrong.

    Half the texts have the probabilities that well-heard words usually have, half have none.
    """
    chance = random.Random(4)
    for path in sorted(p for folder in FOLDERS for p in folder.glob("*.yaml")):
        search = Search(standard(), without(path.stem[:3]))
        said = texts_of(path)
        session = said_in(said)
        for text in said:
            row = spoken(text)
            lower = [w.lower for w in row]
            told = weighed(Heard(0.0, 0.0, text), row, session)
            if chance.random() < 0.5:
                told = replace(told, sure=[1 - 0.5 * chance.random() ** 4 for _ in row])
            yield [
                Seen(c, features(c, told, search.language), 1, _where("text", lower, c))
                for c in search.candidates(row)
            ]


def _where(name: str, row: Sequence[str], c: Candidate) -> str:
    around = " ".join(row[max(0, c.first - 4) : c.end + 4])
    return f"{name}: {' '.join(row[c.first : c.end])} -> {c.meant.written} | {around}"


def places(seen: Sequence[Seen]) -> list[list[Seen]]:
    """Candidates that overlap, together."""
    groups: list[list[Seen]] = []
    end = -1
    for s in sorted(seen, key=lambda s: (s.candidate.first, s.candidate.end)):
        if s.candidate.first >= end:
            groups.append([])
        groups[-1].append(s)
        end = max(end, s.candidate.end)
    return groups


def fitted(groups: Sequence[tuple[float, list[Seen]]]) -> NDArray[np.float64]:
    """Weights by penalised maximum likelihood; of several right candidates any will do."""
    tables = [np.array([s.features for s in g]) for _, g in groups]
    right = []
    for _, g in groups:
        best = min(s.change for s in g)
        right.append(np.array([best < 0 and s.change == best for s in g]))

    def loss(w: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        total = PENALTY * float(np.sum(w[:-1] ** 2))
        slope = 2 * PENALTY * np.append(w[:-1], 0.0)
        for (share, _), x, good in zip(groups, tables, right, strict=True):
            e = np.exp(x @ w)
            z = 1.0 + e.sum()
            total += share * float(np.log(z))
            slope += share * (e / z) @ x
            if good.any():
                g = e[good]
                total -= share * float(np.log(g.sum()))
                slope -= share * (g / g.sum()) @ x[good]
        return total, slope

    result = minimize(loss, np.zeros(len(NAMES)), jac=True, method="L-BFGS-B")
    return np.asarray(result.x, dtype=np.float64)


def judged(groups: Sequence[list[Seen]], weights: NDArray[np.float64]) -> list[tuple[float, Seen]]:
    """The likeliest candidate of each place with its certainty."""
    found: list[tuple[float, Seen]] = []
    for group in groups:
        e = np.exp(np.array([s.features for s in group]) @ weights)
        best = group[int(e.argmax())]
        same = [s.candidate.meant.target is best.candidate.meant.target for s in group]
        found.append((float(e[same].sum() / (1 + e.sum())), best))
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--show", type=int, default=0, help="list so many right and wrong ones")
    parser.add_argument("--unchecked", action="store_true", help="without those for checking")
    chosen = parser.parse_args()
    only = False if chosen.unchecked else None
    spoken_places = [g for seen in recognised(only) for g in places(seen)]
    text_places = [g for seen in untouched() for g in places(seen)]
    weights = fitted([(1.0, g) for g in spoken_places] + [(TEXT_SHARE, g) for g in text_places])
    lines = [
        f"{name} = {GIVEN.get(name, weight):.3f}\n"
        for name, weight in zip(NAMES, weights, strict=True)
    ]
    head = "# How repair/weigh.py weighs what it finds; fitted by tests/repair/fit_weights.py.\n"
    PATH.write_text(head + "[weights]\n" + "".join(lines), encoding="utf-8")
    print("".join(lines))
    heard, clean = judged(spoken_places, weights), judged(text_places, weights)
    for least in (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8):
        sure = [s.change for q, s in heard if q >= least]
        right, wrong = sum(c < 0 for c in sure), sum(c > 0 for c in sure)
        in_texts = sum(q >= least for q, _ in clean)
        print(f"{least}: right {right}, no better {len(sure) - right - wrong}, wrong {wrong},"
              f" in texts {in_texts}")  # fmt: skip
    wrong_ones = [r for r in heard + clean if r[1].change >= 0]
    right_ones = [r for r in heard if r[1].change < 0]
    for title, rows in (("wrong", wrong_ones), ("right", right_ones)):
        print(title)
        for q, s in sorted(rows, key=lambda r: -r[0])[: chosen.show]:
            print(f"{q:.2f} {s.change:+d} {s.where}", [round(f, 1) for f in s.features[:5]])


if __name__ == "__main__":
    main()
