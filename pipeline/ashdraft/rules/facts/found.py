"""What a reader of facts hands on, and how a corrected value is told from a second one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...model import FactValue, Section
from ..ground import Ground
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP


@dataclass(frozen=True, slots=True)
class Found:
    """A fact and the words (first, end) that say it."""

    key: str
    value: FactValue
    spans: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Mention:
    """A value in words `first` up to `end`; the higher `weight`, the surer it is the fact.

    `mends` where it is known to replace the value before it.
    """

    value: float
    first: int
    end: int
    weight: float = 0.0
    mends: bool = False


class Sections:
    """The section of a word, from the placing of its line."""

    def __init__(self, ground: Ground, placed: Sequence[Placed]) -> None:
        self.words = ground.row.words
        self.placed = placed

    def of(self, word: int) -> Section | None:
        line = self.words[word].line
        return self.placed[line].section if line < len(self.placed) else None

    def third(self, word: int) -> int | None:
        line = self.words[word].line
        return self.placed[line].third if line < len(self.placed) else None

    def current(self, word: int) -> int:
        line = self.words[word].line
        return self.placed[line].current if line < len(self.placed) else 0


def corrects(ground: Ground, end: int, first: int, *, reach: int = 22) -> bool:
    """True when what begins at word `first` replaces what ended before word `end`."""
    words = ground.row.words
    if not 0 <= first - end <= reach:
        return False
    if first == end:
        return words[first].hesitant or words[first].gap > 0
    if sum(words[n].gap == STOP for n in range(end, first + 1)) > 3:
        return False
    between = ground.row.text[ground.row.offsets[end] : ground.row.offsets[first] - 1]
    return bool(pattern("{facts.correction}").search(between))


def settle(ground: Ground, mentions: Sequence[Mention], *, reach: int = 22) -> Mention | None:
    """The mention that holds: the surest, the first of equals, unless a later one corrects it."""
    best: Mention | None = None
    for mention in sorted(mentions, key=lambda m: m.first):
        if best is None or mention.weight > best.weight:
            best = mention
        elif mention.value == best.value or mention.weight < best.weight:
            continue
        elif mention.mends or corrects(ground, best.end, mention.first, reach=reach):
            best = Mention(mention.value, mention.first, mention.end, best.weight)
    return best
