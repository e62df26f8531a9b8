"""Scores the rule layer on labelled recordings and lists every miss.

    python -m tests.accuracy.score tests/labelled/dev [--raw] [--misses]

The figures are those of docs/accuracy.md. A descriptor matches one of the same utterance with
the same words and, for F1, the same polarity and third. A fact in words matches when its
content words are the same, in any order.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from ashdraft.model import Reading
from ashdraft.rules import read
from ashdraft_models.reading.labelled import Labelled, load_folders, unpunctuated

SCORED = ("appearance", "pre-light", "palate", "burn", "presentation")


@dataclass(slots=True)
class Tally:
    """Hits, false finds and misses of one figure."""

    hit: int = 0
    extra: int = 0
    missed: int = 0

    @property
    def f1(self) -> float:
        found = 2 * self.hit + self.extra + self.missed
        return 2 * self.hit / found if found else 1.0

    @property
    def share(self) -> float:
        """For accuracies: hits of all, `missed` counting the wrong ones."""
        return self.hit / (self.hit + self.missed) if self.hit + self.missed else 1.0


FIGURES = (
    "section", "section-scored", "third", "descriptor", "source", "intensity", "event",
    "touch-up-total", "relight-total", "split", "fact", "mark", "chapter",
)  # fmt: skip
ACCURACIES = {
    "section", "section-scored", "third", "source", "intensity", "touch-up-total",
    "relight-total", "split",
}  # fmt: skip


@dataclass(slots=True)
class Score:
    """One tally a figure, and the misses as readable lines."""

    figures: dict[str, Tally] = field(default_factory=lambda: {f: Tally() for f in FIGURES})
    misses: list[str] = field(default_factory=list)

    def value(self, figure: str) -> float:
        tally = self.figures[figure]
        return tally.share if figure in ACCURACIES else tally.f1

    def add(self, figure: str, right: bool, miss: str) -> None:
        self.figures[figure].hit += right
        self.figures[figure].missed += not right
        if not right:
            self.misses.append(f"{figure}: {miss}")

    def sets(self, figure: str, gold: Iterable[object], found: Iterable[object], at: str) -> None:
        want, got = list(gold), list(found)
        tally = self.figures[figure]
        for item in want:
            if item in got:
                got.remove(item)
                tally.hit += 1
            else:
                tally.missed += 1
                self.misses.append(f"{figure}: {at} missed {item}")
        tally.extra += len(got)
        self.misses += [f"{figure}: {at} extra {item}" for item in got]


def _content(value: object) -> object:
    if isinstance(value, str):
        return frozenset(re.findall(r"[^\W\d_]+", value.lower())) - {"and", "from", "the"}
    return round(float(value), 3) if isinstance(value, int | float) else value


def score_one(recording: Labelled, reading: Reading, score: Score) -> None:
    """Add one recording's hits and misses."""
    live = recording.kind == "live"
    for gold, got in zip(recording.utterances, reading.utterances, strict=True):
        at = f"{recording.id}#{got.id} {gold['text']!r}"
        right = gold["section"] == got.section
        score.add("section", right, f"{at} {gold['section']} not {got.section}")
        if gold["section"] in SCORED:
            score.add("section-scored", right, "same as above")
        if gold["section"] in ("palate", "burn"):
            same = gold["third"] == got.third
            score.add("third", same, f"{at} {gold['third']} not {got.third} ({got.third_basis})")
        mine = [d for d in reading.descriptors if d.utterance == got.id]
        score.sets(
            "descriptor",
            [(d["term"], d["polarity"], gold["third"]) for d in gold["descriptors"]],
            [(d.term, d.polarity, d.third) for d in mine],
            at,
        )
        for d in gold["descriptors"]:
            match = next((m for m in mine if m.term == d["term"]), None)
            if match:
                for key in ("source", "intensity"):
                    have = getattr(match, key)
                    score.add(key, have == d[key], f"{at} {d['term']} {d[key]} not {have}")
        if live:
            events = [e.kind for e in reading.events if e.utterance == got.id]
            score.sets("event", gold["events"], events, at)
    gold_all = recording.gold
    for name, count in (("touch_ups", reading.touch_ups), ("relights", reading.relights)):
        want = gold_all[name]
        figure = "touch-up-total" if name == "touch_ups" else "relight-total"
        score.add(figure, want["total"] == count.total, f"{recording.id} {want} not {count}")
        split = tuple(want["by_third"]) == count.by_third
        score.add("split", split, f"{recording.id} {name} {want['by_third']} not {count.by_third}")
    score.sets(
        "fact",
        [(k, _content(v)) for k, v in gold_all["facts"].items()],
        [(k, _content(v)) for k, v in reading.facts.items()],
        recording.id,
    )
    score.sets(
        "mark",
        [(m["item"], float(m["value"])) for m in gold_all["marks"]],
        [(m.item, m.value) for m in reading.marks],
        recording.id,
    )
    if not live:
        starts = {u.start: u.id for u in reading.utterances}
        score.sets(
            "chapter",
            [(c["utterance"], c["section"]) for c in gold_all["chapters"]],
            [(starts.get(c.start), c.section) for c in reading.chapters],
            recording.id,
        )


def score_folder(recordings: Sequence[Labelled]) -> Score:
    """Read and score each recording."""
    score = Score()
    for recording in recordings:
        score_one(recording, read(recording.said()), score)
    return score


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--raw", action="store_true", help="without punctuation and capitals")
    parser.add_argument("--misses", action="store_true", help="list every miss")
    asked = parser.parse_args(arguments)
    recordings = load_folders(asked.folders)
    if asked.raw:
        recordings = tuple(unpunctuated(r) for r in recordings)
    score = score_folder(recordings)
    for figure, tally in score.figures.items():
        kind = "accuracy" if figure in ACCURACIES else "F1"
        print(
            f"{figure:16} {kind:8} {score.value(figure):.3f}"
            f"  hit {tally.hit} missed {tally.missed} extra {tally.extra}"
        )
    if asked.misses:
        print(*score.misses, sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
