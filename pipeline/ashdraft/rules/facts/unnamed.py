"""The mark for the whole said without a word for it: `So, four out of five.`"""

from __future__ import annotations

from collections.abc import Sequence

from ...model import Mark
from ..ground import Ground
from ..phrases import pattern
from .figures import Figure
from .found import Sections, corrects
from .refused import REACH, refused, soft


def unnamed(
    ground: Ground,
    sections: Sections,
    taken: Sequence[tuple[int, int]],
    figures: Sequence[Figure],
    scale: float | None,
) -> list[Mark]:
    """The figures of the verdict that belong to no item, in order: the last one holds.

    `taken` are the items' words.
    """
    row = ground.row
    best: Figure | None = None
    told: list[Mark] = []
    for figure in figures:
        if sections.of(figure.first) != "verdict" or ground.scope.elsewhere(figure.first):
            continue
        if (scale and figure.value > scale) or refused(ground, figure) or soft(ground, figure):
            continue
        if scale and figure.scale not in (None, scale):
            continue
        if best and scale and abs(figure.value - best.value) > 0.3 * scale:
            continue
        start, end = row.sentence(figure.first, REACH)
        if any(start <= first < end for first, _ in taken):
            continue
        if _for_the_whole(ground, figure, best, scale, start):
            best = figure
            told.append(
                Mark("overall", best.value, best.scale or scale, ground.line_id(best.first))
            )
    return told


def _for_the_whole(
    ground: Ground, figure: Figure, best: Figure | None, scale: float | None, start: int
) -> bool:
    """True for a figure with its scale, behind talk of a mark, or that puts one right."""
    row = ground.row
    line = row.words[figure.first].line
    opens = figure.first - start <= 2 or figure.first - row.firsts[line] <= 2
    asks = pattern("{facts.mark-talk}")
    talked = any(True for _ in row.find(asks, row.firsts[max(line - 1, 0)], figure.first))
    if figure.told or (opens and talked):
        return True
    if not scale:
        return False
    if best and corrects(ground, best.end, figure.first, reach=10):
        return True
    alone = _alone(ground, figure)
    if best and opens and alone and row.words[best.first].line >= line - 1:
        return True
    return talked and alone and _scaled(ground, start, figure.first)


def _alone(ground: Ground, figure: Figure) -> bool:
    """True where a pause, or `is fair`, `it is`, follows a figure."""
    row = ground.row
    end = figure.end >= len(row.words) or row.words[figure.end].gap > 0
    return end or row.said(figure.end, figure.end + 1) in ("is", "it", "and", "because", "for", "i")


def _scaled(ground: Ground, first: int, end: int) -> bool:
    """True where `out of a hundred` stands before the figure."""
    return any(True for _ in ground.row.find(pattern(r"out of (?:a )?[^ ]+"), first, end))
