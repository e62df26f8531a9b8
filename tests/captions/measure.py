"""How often captions part words that belong together, judged by a parser that they do not use.

python -m tests.captions.measure tests/labelled/dev
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import spacy
import yaml
from ashdraft.captions import Cue, cues
from ashdraft.model import Said, Word
from ashdraft.rules.nlp import LANGUAGE_MODEL

SYLLABLE_RATE = 14.0
"""Letters a second: about 160 words a minute (references: Rodero 2012, radio advice)."""


def spoken(path: Path) -> list[Said]:
    """Return a labelled recording as utterances with word times at an even rate."""
    rows = yaml.safe_load(path.read_text("utf-8"))["utterances"]
    made = []
    for index, row in enumerate(rows):
        now, words = float(row["at"]), []
        for text in row["text"].split():
            length = (len(text) + 1) / SYLLABLE_RATE
            words.append(Word(text, now, now + length * 0.9))
            now += length
        text = row["text"]
        made.append(Said(index, float(row["at"]), now, text, text, text, tuple(words)))
    return made


def held_pairs(text: str, parser: spacy.Language) -> set[int]:
    """Return the offsets of blanks in `text` that stand inside a pair to be kept together."""
    return {
        left.idx + len(left.text)
        for left in parser(text)[:-1]
        if left.whitespace_ and _belong(left, left.nbor())
    }


def _belong(left: spacy.tokens.Token, right: spacy.tokens.Token) -> bool:
    noun = right.pos_ in ("NOUN", "PROPN")
    return (
        (noun and left.head == right and left.dep_ in ("det", "amod", "nummod", "poss", "neg"))
        or (left.dep_ == "neg" and left.head == right)
        or (left.pos_ == "ADP" and right.head == left and right.dep_ == "pobj")
    )


def breaks(made: tuple[Cue, ...]) -> Iterator[int]:
    """Yield the offset of every line end and cue end in the text of all cues."""
    at = 0
    for cue in made:
        for line in cue.lines:
            at += len(line)
            yield at
            at += 1


def parted(made: tuple[Cue, ...], parser: spacy.Language) -> tuple[int, int]:
    """Return how many breaks part a pair, and how many breaks there are."""
    text = " ".join(line for cue in made for line in cue.lines)
    held = held_pairs(text, parser)
    ends = list(breaks(made))[:-1]
    return sum(end in held for end in ends), len(ends)


def main(folder: Path) -> None:
    parser = spacy.load(LANGUAGE_MODEL)
    bad = whole = 0
    for path in sorted(folder.glob("*.yaml")):
        wrong, count = parted(cues(spoken(path)), parser)
        bad, whole = bad + wrong, whole + count
        print(f"{path.stem}: {wrong} of {count}")
    print(f"all: {bad} of {whole} ({bad / whole:.1%})")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
