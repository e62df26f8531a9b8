"""What recognition lost: word error rate, tasting notes and trade words that came through.

Words are compared after the Whisper English normaliser (whisper-normalizer), aligned over the
whole recording by jiwer. A note or trade word counts as there when every one of its words is
aligned with the same word.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import jiwer

TRADE = Path(__file__).with_name("trade-words.txt")


@dataclass(slots=True)
class Tally:
    """How many of something were said and how many came through; `lost` tells what did not."""

    there: int = 0
    said: int = 0
    lost: list[str] = field(default_factory=list)

    @property
    def recall(self) -> float:
        """A share of 1; 1.0 where nothing was said."""
        return self.there / self.said if self.said else 1.0


@dataclass(slots=True)
class Measured:
    """One recording's figures; add them up with `pooled`."""

    errors: int = 0
    words: int = 0
    notes: Tally = field(default_factory=Tally)
    trade: Tally = field(default_factory=Tally)

    @property
    def wer(self) -> float:
        """Substitutions, deletions and insertions by reference words."""
        return self.errors / self.words if self.words else float(self.errors > 0)


def measure(utterances: Sequence[Mapping[str, Any]], heard: str) -> Measured:
    """Compare labelled utterances (`text`, `descriptors`) with all words that were heard."""
    spoken = [words(str(u["text"])) for u in utterances]
    reference = [w for line in spoken for w in line]
    aligned = jiwer.process_words(" ".join(reference), " ".join(words(heard)) or "<nothing>")
    kept, instead = _kept(aligned.alignments[0], aligned.hypotheses[0], len(reference))
    result = Measured(
        errors=aligned.substitutions + aligned.deletions + aligned.insertions,
        words=len(reference),
    )
    start = 0
    for utterance, line in zip(utterances, spoken, strict=True):
        for descriptor in utterance.get("descriptors") or ():
            wanted = words(str(descriptor["term"]))
            _count(result.notes, [wanted], line, start, kept, instead)
        _count(result.trade, trade_words(), line, start, kept, instead, every=True)
        start += len(line)
    return result


def pooled(parts: Iterable[Measured]) -> Measured:
    """Counts of several recordings added up (a mean of rates would weigh short ones too much)."""
    total = Measured()
    for part in parts:
        total.errors += part.errors
        total.words += part.words
        for mine, theirs in ((total.notes, part.notes), (total.trade, part.trade)):
            mine.there += theirs.there
            mine.said += theirs.said
            mine.lost += theirs.lost
    return total


def words(text: str) -> list[str]:
    """The words of a text after the Whisper English normaliser."""
    return str(_normaliser()(text)).split()


@cache
def trade_words() -> tuple[list[str], ...]:
    """The trade's own words, one a line in trade-words.txt, longest first."""
    lines = TRADE.read_text(encoding="utf-8").splitlines()
    terms = {tuple(words(line)) for line in lines if line and not line.startswith("#")}
    return tuple(list(t) for t in sorted(terms, key=lambda t: (-len(t), t)))


@cache
def _normaliser() -> Any:
    from whisper_normalizer.english import EnglishTextNormalizer

    return EnglishTextNormalizer()


def _kept(chunks: Sequence[Any], heard: Sequence[str], size: int) -> tuple[list[bool], list[str]]:
    """For every reference word: was it heard, and what stands in its place.

    Words that were put in right before a wrong one are told with it ("retro" before "hail").
    """
    kept, instead, extra = [False] * size, [""] * size, ""
    for chunk in chunks:
        found = list(heard[chunk.hyp_start_idx : chunk.hyp_end_idx])
        if chunk.type == "insert":
            extra = " ".join(found)
            continue
        for offset, i in enumerate(range(chunk.ref_start_idx, chunk.ref_end_idx)):
            kept[i] = chunk.type == "equal"
            instead[i] = found[offset] if found else ""
        if chunk.type == "substitute":
            instead[chunk.ref_start_idx] = f"{extra} {instead[chunk.ref_start_idx]}".strip()
        extra = ""
    return kept, instead


def _count(
    tally: Tally,
    terms: Sequence[list[str]],
    line: Sequence[str],
    start: int,
    kept: Sequence[bool],
    instead: Sequence[str],
    *,
    every: bool = False,
) -> None:
    """Count the first place of a term in the line, or every place that no longer term covers."""
    taken: set[int] = set()
    for term in terms:
        for at in range(len(line) - len(term) + 1):
            span = range(at, at + len(term))
            if list(line[at : at + len(term)]) != term or taken & set(span):
                continue
            taken |= set(span)
            places = [start + i for i in span]
            tally.said += 1
            if all(kept[i] for i in places):
                tally.there += 1
            else:
                stood = " ".join(instead[i] for i in places if instead[i])
                tally.lost.append(f"{' '.join(term)} -> {stood or 'nothing'}")
            if not every:
                return
