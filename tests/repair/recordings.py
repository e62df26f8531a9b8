"""What the `base` model heard of spoken scripts, kept so that repair is measured without sound.

heard/SCRIPT-VOICE.txt has a line for each sentence: its start and end in seconds, then every word
with the recogniser's probability. Scripts are those of tests/labelled, spoken by the voices of
samples/voices.py in a room with its noise 20 dB down and a lighter now and then; recognised by
faster-whisper 1.2.1, `base`, int8, batched, default settings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jiwer
import yaml
from ashdraft.model import Heard, Word

from tests.speech.measure import words

HEARD = Path(__file__).with_name("heard")
LABELLED = Path(__file__).parents[1] / "labelled"
CHECKED = ("cyd", "dov", "gus")
"""Authors whose recordings are for checking: fit without them, look at their figures."""


@dataclass(frozen=True, slots=True)
class Recording:
    """A recognised script: `truth` are its labelled utterances."""

    name: str
    author: str
    heard: tuple[Heard, ...]
    truth: tuple[dict[str, Any], ...]

    def meant(self) -> list[list[str]]:
        """For each heard utterance the normalised words that were said there."""
        said = [w for u in self.truth for w in words(str(u["text"]))]
        heard = [(w, i) for i, h in enumerate(self.heard) for w in words(h.text)]
        aligned = jiwer.process_words(" ".join(said), " ".join(w for w, _ in heard))
        meant: list[list[str]] = [[] for _ in self.heard]
        for chunk in aligned.alignments[0]:
            last = max(chunk.hyp_start_idx, chunk.hyp_end_idx - 1)
            for offset, at in enumerate(range(chunk.ref_start_idx, chunk.ref_end_idx)):
                place = min(chunk.hyp_start_idx + offset, last, len(heard) - 1)
                meant[heard[place][1]].append(said[at])
        return meant


def recordings(*, checked: bool | None = None) -> list[Recording]:
    """All recordings, or only those for checking, or only the others."""
    found = [_read(path) for path in sorted(HEARD.glob("*.txt"))]
    return [r for r in found if checked in (None, r.name.startswith(CHECKED))]


def edits(a: Sequence[str], b: Sequence[str]) -> int:
    """Words that must be changed, put in or left out to make `a` into `b`."""
    if not a or not b:
        return len(a) + len(b)
    out = jiwer.process_words(" ".join(a), " ".join(b))
    return out.substitutions + out.deletions + out.insertions


def _read(path: Path) -> Recording:
    script = path.stem.split("-")[0]
    labelled = next(LABELLED.glob(f"*/{script}.yaml"))
    truth = yaml.safe_load(labelled.read_text(encoding="utf-8"))
    author = str(truth.get("author", script))
    lines = path.read_text(encoding="utf-8").splitlines()
    return Recording(path.stem, author, tuple(map(_heard, lines)), tuple(truth["utterances"]))


def _heard(line: str) -> Heard:
    times, _, told = line.partition("\t")
    start, end = map(float, times.split())
    pairs = [pair.rsplit("/", 1) for pair in told.split(" ")]
    each = (end - start) / len(pairs)
    timed = tuple(
        Word(text, start + i * each, start + (i + 1) * each, float(sure))
        for i, (text, sure) in enumerate(pairs)
    )
    return Heard(start, end, " ".join(w.text for w in timed), timed)
