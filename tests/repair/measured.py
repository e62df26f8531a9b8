"""What the repair makes of recognised recordings: the table of docs/hearing.md.

    python -m tests.repair.measured [--checked] [--lost]

The model of reviewers' speech is counted without the author of the recording. `wrong` counts
utterances' words that were right and are not after repair.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache

from ashdraft.repair import Repairer
from ashdraft.repair.language import Language, from_counts
from ashdraft_models.repair.train_spoken import counted, texts

from tests.repair.recordings import LABELLED, Recording, edits, recordings
from tests.speech.measure import Measured, measure, pooled, words

FOLDERS = (LABELLED / "dev", LABELLED / "tuning")


@cache
def without(author: str) -> Language:
    """Reviewers' speech counted without one author's recordings."""
    return from_counts(counted(texts(FOLDERS, [author])))


@dataclass(slots=True)
class Outcome:
    """A recording before and after; `wrong` repairs of `spoken` heard words, with all changes."""

    name: str
    raw: Measured
    mended: Measured
    spoken: int = 0
    right: int = 0
    wrong: int = 0
    told: list[str] = field(default_factory=list)


def outcome(recording: Recording) -> Outcome:
    """Repair one recording and compare it with what was said."""
    repairer = Repairer(speech=without(recording.author))
    result = Outcome(recording.name, Measured(), Measured())
    said, repairs = repairer.repair(recording.heard)
    for heard, done, meant in zip(recording.heard, said, recording.meant(), strict=True):
        result.spoken += len(words(heard.text))
        change = edits(meant, words(done.said)) - edits(meant, words(heard.text))
        result.wrong += max(0, change)
        result.right += max(0, -change)
        for r in (r for r in repairs if r.utterance == done.id):
            mark = f"{change:+d}" if r.applied else " ?"
            result.told.append(f"{mark} {r.confidence:.2f} {r.heard} -> {r.meant} | {heard.text}")
    result.raw = measure(recording.truth, " ".join(h.text for h in recording.heard))
    result.mended = measure(recording.truth, " ".join(u.said for u in said))
    return result


def row(name: str, raw: Measured, mended: Measured, wrong: int, heard: int) -> str:
    """One row of the Markdown table."""
    cells = [
        f"{a:.3f} / {b:.3f}"
        for a, b in (
            (raw.wer, mended.wer),
            (raw.notes.recall, mended.notes.recall),
            (raw.trade.recall, mended.trade.recall),
        )
    ]
    return f"| {name} | {' | '.join(cells)} | {1000 * wrong / heard:.2f} |"


def table(outcomes: Iterable[Outcome]) -> str:
    """The Markdown table with its sum."""
    every = list(outcomes)
    lines = [
        "| recording | word errors: heard / said | notes | trade words | wrong per 1,000 |",
        "| --- | --- | --- | --- | --- |",
        *(row(o.name, o.raw, o.mended, o.wrong, o.spoken) for o in every),
        row(
            "together", pooled(o.raw for o in every), pooled(o.mended for o in every),
            sum(o.wrong for o in every), sum(o.spoken for o in every),
        ),
    ]  # fmt: skip
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--checked", action="store_true", help="the recordings kept for checking")
    parser.add_argument("--lost", action="store_true", help="list repairs and what is still lost")
    chosen = parser.parse_args()
    every = [outcome(r) for r in recordings(checked=chosen.checked)]
    print(table(every))
    for o in every if chosen.lost else ():
        print(
            o.name,
            *o.told,
            "notes: " + "; ".join(o.mended.notes.lost),
            "trade: " + "; ".join(o.mended.trade.lost),
            sep="\n  ",
        )


if __name__ == "__main__":
    main()
