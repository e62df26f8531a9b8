"""The blank score sheet laid out on one page, whatever its number of criteria.

From the top: facts, the words of the scale, the criteria with a box for each mark, the thirds
with a line for each family of notes, and room for anything else. Heights are shared out so that
everything fits: the criteria come first, and stand in more columns where there are many.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

import ashdraft_models

from ..charts import family_words
from ..charts.svg import width_of
from ..facts import OBTAINED
from ..sheet.definition import SheetDefinition
from ..sheet.printed import heading
from .criteria import Area, criteria, fitted
from .paper import POINT, Box, Paper, Sheet, Stroke, Text

MARGIN = 12.0
"""Millimetres; office printers reach to about 5 (common practice, no source)."""
BODY = 10.5
HEAD = 11.0
STRONG, PLAIN, FINE = 0.55, 0.3, 0.2
TITLE_HEIGHT = 10.0
FACT_HEIGHT = 7.6
LEGEND_LINE = 4.5
DAY_AND_STICK = (("Day", 30.0), ("Stick", 11.0), ("of", 11.0))
"""What the title leaves to be written, each with the length of its line."""
THIRD_HEIGHT = 6.8
FAMILY_HEIGHT, FAMILY_LEAST = 5.1, 3.9
FREE = 9.0
"""Height of a line to write anything else on."""
THIRDS = ("First third", "Second third", "Final third")
FACTS: tuple[tuple[tuple[str, float], ...], ...] = (
    (("name", 0.5), ("maker", 0.5)),
    (("format", 0.34), ("length_in", 0.2), ("ring_gauge", 0.2), ("price", 0.26)),
    (("wrapper", 0.34), ("binder", 0.33), ("filler", 0.33)),
    (("country", 0.26), ("rh_percent", 0.36), ("rest_days", 0.38)),
)
"""Facts of the header, a row at a time, each with its share of the width."""


def blank_sheet(definition: SheetDefinition, paper: Paper = "a4") -> Sheet:
    """Return the page for a sheet. The same definition and paper give the same page."""
    return _Page(definition, Sheet("", paper, ()).size).sheet(paper)


def families() -> list[str]:
    """Return the names of the lexicon's families in words, in order."""
    folder: Path = ashdraft_models.ROOT / "lexicon"
    return sorted(family_words(file.stem) for file in folder.glob("*.toml"))


@dataclass(slots=True)
class _Page:
    definition: SheetDefinition
    size: tuple[float, float]
    items: list[Text | Stroke | Box] = field(default_factory=list)

    def sheet(self, paper: Paper) -> Sheet:
        legend = self._legend()
        y = self._title(MARGIN)
        y = self._facts(y)
        y = self._lines(legend, y + 1.5)
        low = self.size[1] - MARGIN
        names = families()
        per_block = -(-len(names) // 2)
        roomy, least = (self._thirds_height(per_block, h) for h in (FAMILY_HEIGHT, FAMILY_LEAST))
        area = Area(MARGIN, y + 1.5, self.width, low - roomy - y - 1.5)
        marks = criteria(self.definition, area)
        row = FAMILY_HEIGHT
        if marks.crowded:
            area = Area(MARGIN, y + 1.5, self.width, low - least - y - 1.5)
            marks, row = criteria(self.definition, area), FAMILY_LEAST
        self.items += marks.items
        y = self._thirds(marks.bottom + 3.0, names, row)
        self._free(y + 2.0, low)
        return Sheet(f"{self.definition.name}: blank sheet", paper, tuple(self.items))

    @property
    def width(self) -> float:
        return self.size[0] - 2 * MARGIN

    @property
    def right(self) -> float:
        return self.size[0] - MARGIN

    def text(
        self, x: float, y: float, words: str, points: float = BODY, *, bold: bool = False
    ) -> None:
        self.items.append(Text(x, y, words, points, bold))

    def across(self, y: float, width: float, left: float = 0.0, right: float = 0.0) -> None:
        start = left or MARGIN
        self.items.append(Stroke(start, y, (right or self.right) - start, 0.0, width))

    def down(self, x: float, y: float, height: float, width: float) -> None:
        self.items.append(Stroke(x, y, 0.0, height, width))

    def _title(self, y: float) -> float:
        blanks = [(word, _wide(word) + 1.5, line) for word, line in DAY_AND_STICK]
        x = self.right - sum(word + line + 2.0 for _, word, line in blanks) + 2.0
        points, words = fitted(self.definition.name, (x - MARGIN - 4.0) / 1.1, 15.0)
        self.text(MARGIN, y + 6.0, words, points, bold=True)
        for label, word, line in blanks:
            self.text(x, y + 6.0, label)
            self.across(y + 6.6, PLAIN, x + word, x + word + line)
            x += word + line + 2.0
        return y + TITLE_HEIGHT

    def _facts(self, y: float) -> float:
        for row in FACTS:
            x = MARGIN
            for key, share in row:
                width = share * self.width
                self.items.append(Box(x, y, width, FACT_HEIGHT, PLAIN))
                points, words = fitted(heading(key).capitalize(), width * 0.75, BODY)
                self.text(x + 1.5, y + FACT_HEIGHT - 2.4, words, points)
                x += width
            y += FACT_HEIGHT
        self.items.append(Box(MARGIN, y, self.width, FACT_HEIGHT, PLAIN))
        x = MARGIN + 1.5
        for word in OBTAINED:
            self.items.append(Box(x, y + 1.8, 4.0, 4.0, PLAIN * 1.4))
            self.text(x + 5.5, y + FACT_HEIGHT - 2.4, word.capitalize())
            x += _wide(word) + 13.0
        for label, width in (("Put down at", 20.0), ("Drunk with it", 0.0)):
            self.text(x, y + FACT_HEIGHT - 2.4, label)
            x += _wide(label) + 1.5
            self.across(y + FACT_HEIGHT - 1.8, FINE, x, x + width if width else self.right - 2)
            x += width + 3.0
        y += FACT_HEIGHT
        top = y - FACT_HEIGHT * (len(FACTS) + 1)
        self.items.append(Box(MARGIN, top, self.width, y - top, STRONG))
        return y

    def _legend(self) -> list[str]:
        """Return the words of the scale, broken into lines."""
        scale = self.definition.scale
        step = "" if float(scale.step) == 1 else f" in steps of {float(scale.step):g}"
        parts = [f"Marks {float(scale.lowest):g} to {float(scale.highest):g}{step}."]
        parts += [
            f"{float(mark):g}\N{NO-BREAK SPACE}{words.replace(' ', chr(0xA0))};"
            for mark, words in sorted(scale.anchors.items())
        ]
        lines = [""]
        for part in " ".join(parts).removesuffix(";").split(" "):
            longer = f"{lines[-1]} {part}".strip()
            if _wide(longer) > self.width and lines[-1]:
                lines.append(part)
            else:
                lines[-1] = longer
        return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]

    def _lines(self, lines: Sequence[str], y: float) -> float:
        for line in lines:
            points, words = fitted(line, self.width, BODY)
            self.text(MARGIN, y + 3.6, words, points)
            y += LEGEND_LINE
        return y

    def _thirds_height(self, rows: int, height: float) -> float:
        return 3.0 + 2 * THIRD_HEIGHT + 2.0 + THIRD_HEIGHT + rows * height + 2.0

    def _thirds(self, y: float, names: Sequence[str], row: float) -> float:
        """Draw the stick in three, then a line for each family with a cell for each third."""
        third = self.width / len(THIRDS)
        for n, name in enumerate(THIRDS):
            x = MARGIN + n * third
            self.text(x + 1.5, y + 4.9, name, HEAD, bold=True)
            after = x + 4.0 + _wide(name) * HEAD / BODY * 1.1
            self.text(after, y + 4.9, "began" if n else "lit")
            self.text(x + 1.5, y + THIRD_HEIGHT + 4.9, "Touch-ups")
            self.text(x + third / 2 + 3, y + THIRD_HEIGHT + 4.9, "Relights")
            if n:
                self.down(x, y, 2 * THIRD_HEIGHT, STRONG)
        self.items.append(Box(MARGIN, y, self.width, 2 * THIRD_HEIGHT, STRONG))
        y += 2 * THIRD_HEIGHT + 2.0
        half = -(-len(names) // 2)
        block = (self.width - 4.0) / 2
        for n, part in enumerate((names[:half], names[half:])):
            self._family_block(MARGIN + n * (block + 4.0), y, block, part, row)
        return y + THIRD_HEIGHT + half * row

    def _family_block(
        self, x: float, y: float, width: float, names: Sequence[str], row: float
    ) -> None:
        label = max(_wide(name) for name in families()) + 1.0
        label = min(label, width * 0.44)
        cell = (width - label) / len(THIRDS)
        for n, head in enumerate(("First", "Second", "Final")):
            self.text(x + label + n * cell + 1.2, y + 4.9, head, BODY, bold=True)
        y += THIRD_HEIGHT
        for n, name in enumerate(names):
            points, words = fitted(name, label - 1.0, min(BODY, row * 0.74 / POINT))
            self.text(x, y + (n + 0.5) * row + points * POINT * 0.36, words, points)
            self.across(y + (n + 1) * row, FINE, x, x + width)
        for n in range(len(THIRDS)):
            self.down(x + label + n * cell, y - THIRD_HEIGHT + 1, len(names) * row + 5.8, PLAIN)
        self.across(y, STRONG, x, x + width)

    def _free(self, y: float, low: float) -> None:
        if low - y < FREE:
            return
        self.text(MARGIN, y + 5.0, "Anything else")
        first = MARGIN + _wide("Anything else") + 2.0
        line = y + 6.0
        while line <= low:
            self.across(line, FINE, first)
            first, line = MARGIN, line + FREE


def _wide(words: str) -> float:
    return width_of(words, BODY) * POINT
