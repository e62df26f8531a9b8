"""Counts how reviewers speak, for the repair: spoken.txt from labelled recordings.

    python -m ashdraft_models.repair.train_spoken FOLDER... [--without AUTHOR,...]

Every *.yaml file in the folders is read (docs/labelling.md). `--without` leaves out files whose
names begin so: for measuring on recordings of somebody whose speech was not counted.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

import yaml
from ashdraft.repair.language import END, PATH, START, kind_of
from ashdraft.repair.text import spoken

_RAREST = 2  # times that three in a row must have been said


def counted(texts: Iterable[str]) -> Counter[tuple[str, ...]]:
    """Counts of one, two and three kinds in a row, and of words within their kind."""
    counts: Counter[tuple[str, ...]] = Counter()
    for text in texts:
        words = [w.lower for w in spoken(text)]
        row = [START, START, *map(kind_of, words), END]
        for word in words:
            if kind_of(word) != word:
                counts["=" + kind_of(word), word] += 1
        for i in range(2, len(row)):
            for size in (1, 2, 3):
                counts[tuple(row[i - size + 1 : i + 1])] += 1
    return Counter({g: c for g, c in counts.items() if len(g) < 3 or c >= _RAREST})


def texts(folders: Iterable[Path], without: Iterable[str] = ()) -> list[str]:
    """All utterances of the labelled recordings, in order."""
    left_out = tuple(without)
    found: list[str] = []
    for folder in folders:
        for path in sorted(folder.glob("*.yaml")):
            if not (left_out and path.name.startswith(left_out)):
                found += texts_of(path)
    return found


def texts_of(path: Path) -> list[str]:
    """The utterances of one labelled recording, in order."""
    labelled = yaml.safe_load(path.read_text(encoding="utf-8"))
    return [str(u["text"]) for u in labelled["utterances"]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--without", default="")
    parser.add_argument("--to", type=Path, default=PATH)
    chosen = parser.parse_args()
    counts = counted(texts(chosen.folders, [a for a in chosen.without.split(",") if a]))
    head = "# How often kinds of words were said in a row; see train_spoken.py.\n"
    lines = [f"{c}\t{' '.join(g)}\n" for g, c in sorted(counts.items())]
    chosen.to.write_text(head + "".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
