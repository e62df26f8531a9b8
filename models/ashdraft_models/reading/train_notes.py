"""Trains the decision whether words name a tasting note and writes notes.json.

    python -m ashdraft_models.reading.train_notes FOLDER... [--out notes.json]
    python -m ashdraft_models.reading.train_notes FOLDER... --cross-check

Needs scipy (L-BFGS). Each recording is used as written and without punctuation, and so are the
single remarks of notes_lessons.md. A few lines get the section of a neighbour, because sections
are not always right where the model is used.
`--cross-check` leaves out one author at a time and prints precision, recall and F1 (with gold
sections) on the author left out.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from ashdraft.rules.nlp import analyse
from ashdraft.rules.notes.candidates import Candidate, candidates, scene_of
from ashdraft.rules.notes.features import placed
from numpy.typing import NDArray
from scipy import optimize, sparse

from ashdraft_models.reading.labelled import Labelled, load_folders, unpunctuated
from ashdraft_models.reading.remarks import read_remarks

Array = NDArray[np.float64]
Example = tuple[list[str], bool]
PENALTY = 3.0
LEAST_SEEN = 6
WRONG_SECTIONS = 0.05
ROUNDS = 2


@dataclass(frozen=True, slots=True)
class Read:
    """A recording with the candidates of each of its lines."""

    recording: Labelled
    found: tuple[Candidate, ...]

    def right(self, c: Candidate) -> bool:
        """Whether a candidate is labelled a note of its line."""
        wanted = {_plain(d["term"]) for d in self.recording.utterances[c.line]["descriptors"]}
        return _plain(c.term) in wanted

    def where(self, at: int) -> str:
        """The section of a line, "#" outside the recording."""
        lines = self.recording.utterances
        return str(lines[at]["section"]) if 0 <= at < len(lines) else "#"


LESSONS = Path(__file__).with_name("notes_lessons.md")


def lessons() -> list[Labelled]:
    """Each remark of notes_lessons.md as a recording of its own."""
    out = []
    for remark in read_remarks(LESSONS):
        lines = tuple(
            {
                "at": 10.0 * n,
                "text": text,
                "section": section,
                "third": third,
                "descriptors": [
                    {"term": w.term, "polarity": w.polarity} for w in remark.wanted if w.at == n
                ],
            }
            for n, (section, third, text) in enumerate(remark.said)
        )
        out.append(Labelled("lesson", "lessons", "live", lines, {}))
    return out


def _plain(term: str) -> str:
    return term.replace("-", " ")


def read(recordings: Sequence[Labelled]) -> list[Read]:
    """Every recording with and without punctuation."""
    out = []
    for recording in recordings:
        for version in (recording, unpunctuated(recording)):
            lines = analyse(version.said())
            out.append(Read(version, candidates(lines, scene_of(lines))))
    return out


def with_place(item: Read, c: Candidate, section: str | None = None) -> list[str]:
    """All features of a candidate, in its own section or another one."""
    here = section or item.where(c.line)
    told = item.recording.utterances[c.line]["third"] is not None
    more = placed(c.features, here, item.where(c.line - 1), item.where(c.line + 1), told)
    return [*c.features, *more]


def examples(items: Sequence[Read], placed_too: bool) -> list[Example]:
    """Features and labels of all candidates that the rules do not bar."""
    chance = random.Random(5)
    out: list[Example] = []
    for item in items:
        for c in item.found:
            if c.barred:
                continue
            if not placed_too:
                out.append((list(c.features), item.right(c)))
                continue
            for _ in range(ROUNDS):
                wrong = chance.random() < WRONG_SECTIONS
                section = item.where(c.line + chance.choice((-1, 1))) if wrong else None
                out.append((with_place(item, c, section), item.right(c)))
    return out


def train(data: Sequence[Example]) -> dict[str, float]:
    """Weights of the features seen at least LEAST_SEEN times."""
    counts = Counter(name for names, _ in data for name in set(names))
    kept = sorted(name for name, n in counts.items() if n >= LEAST_SEEN)
    column = {name: k for k, name in enumerate(kept)}
    rows = [(i, column[n]) for i, (names, _) in enumerate(data) for n in set(names) if n in column]
    at = np.array(rows, dtype=np.int64).T
    matrix = sparse.csr_matrix((np.ones(len(rows)), (at[0], at[1])), (len(data), len(kept)))
    sign = np.array([1.0 if label else -1.0 for _, label in data])

    def loss(w: Array) -> tuple[float, Array]:
        margin = sign * (matrix @ w)
        slope = -sign / (1.0 + np.exp(np.clip(margin, -30.0, 30.0)))
        value = float(np.logaddexp(0.0, -margin).sum() + PENALTY * (w @ w))
        return value, np.asarray(matrix.T @ slope) + 2 * PENALTY * w

    best = optimize.minimize(loss, np.zeros(len(kept)), jac=True, method="L-BFGS-B")
    return {name: round(float(w), 3) for name, w in zip(kept, best.x, strict=True) if abs(w) > 0.02}


def counted(item: Read, model: dict[str, float]) -> Array:
    """Hits, false finds and misses of one recording; term and polarity must be right."""
    hits = extra = missed = 0
    got: dict[int, set[tuple[str, str]]] = {}
    for c in item.found:
        if not c.barred and sum(model.get(n, 0.0) for n in with_place(item, c)) >= 0:
            got.setdefault(c.line, set()).add((_plain(c.term), c.stand.state))
    for at, line in enumerate(item.recording.utterances):
        want = {(_plain(d["term"]), d["polarity"]) for d in line["descriptors"]}
        have = got.get(at, set())
        hits += len(want & have)
        extra += len(have - want)
        missed += len(want - have)
    return np.array([hits, extra, missed], dtype=np.float64)


def cross_check(items: Sequence[Read]) -> None:
    """Prints the figures of each author, read by a model that never saw them."""
    total = np.zeros(3)
    for author in sorted({i.recording.author for i in items} - {"lessons"}):
        model = train(examples([i for i in items if i.recording.author != author], True))
        sums = sum((counted(i, model) for i in items if i.recording.author == author), np.zeros(3))
        total += sums
        _print(author, sums)
    _print("all", total)


def _print(name: str, sums: Array) -> None:
    hits, extra, missed = sums
    print(
        f"{name:8} precision {hits / (hits + extra):.3f} recall {hits / (hits + missed):.3f}"
        f" F1 {2 * hits / (2 * hits + extra + missed):.3f}"
    )


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--out", type=Path, default=Path(__file__).with_name("notes.json"))
    parser.add_argument("--cross-check", action="store_true")
    asked = parser.parse_args(arguments)
    items = read([*load_folders(asked.folders), *lessons()])
    if asked.cross_check:
        cross_check(items)
        return 0
    models = {kind: train(examples(items, kind == "placed")) for kind in ("alone", "placed")}
    asked.out.write_text(json.dumps(models, indent=0, sort_keys=True) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
