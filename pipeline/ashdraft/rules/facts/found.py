"""What a reader of facts hands on, and how a corrected value is told from a second one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ...model import FactValue, Section
from ..ground import Ground
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP, words


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


_SAYS = re.compile(
    r"\bbut (?:the|my|his|her|their|this|that|on) (?:\w+ ){1,6}?(?:says|said|has it|reads|shows|"
    r"tells)\b"
)
"""`..., but the leaflet says`: what stands written holds."""

_DENIED = words(
    "number numbers idea clue note notes record records relight relights touch doubt problem "
    "problems trouble price box band bands more question matter way need reason label card info "
    "information discount tax seams veins humidity reading meter gauge figure receipt sticker "
    "corrections harm complaints wonder rush hurry further other"
)
"""Behind a `no` these are denied, and nothing is taken back (`no number there`)."""


def corrects(ground: Ground, end: int, first: int, *, reach: int = 22) -> bool:
    """True when what begins at word `first` replaces what ended before word `end`."""
    row = ground.row.words
    if not 0 <= first - end <= reach:
        return False
    if first == end:
        return row[first].hesitant or row[first].gap > 0
    if sum(row[n].gap == STOP for n in range(end, first + 1)) > 3:
        return False
    between = " ".join(row[n].lower for n in range(end, first) if not _no_correction(ground, n))
    return bool(pattern("{facts.correction}").search(between) or _SAYS.search(between))


def _no_correction(ground: Ground, at: int) -> bool:
    """True for `no number`, `do not ask`, `as well`: words of a correction that correct nothing."""
    word = ground.row.words[at].lower
    before = ground.row.said(at - 1, at)
    if word == "no":
        after = ground.row.words[at + 1]
        return not after.gap and after.lower in _DENIED
    if word == "not":
        return before in (
            "do",
            "does",
            "did",
            "can",
            "will",
            "could",
            "have",
            "has",
            "had",
            "would",
        )
    return word == "well" and before == "as"


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
