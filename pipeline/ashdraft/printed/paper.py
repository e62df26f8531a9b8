"""What a printed page is made of: strokes, boxes and lines of text, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

POINT = 25.4 / 72
"""One point in millimetres: 1/72 inch, as in PDF (ISO 32000-2, 8.3.2.3)."""

Paper = Literal["a4", "letter"]
Anchor = Literal["start", "middle", "end"]
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height: ISO 216; ANSI/ASME Y14.1 size A."""


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text of `points` height; (x, y) is the `anchor` end of its baseline."""

    x: float
    y: float
    words: str
    points: float
    bold: bool = False
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line from (x, y) over (dx, dy); `width` is its thickness."""

    x: float
    y: float
    dx: float
    dy: float
    width: float


@dataclass(frozen=True, slots=True)
class Box:
    """An empty box with its upper left corner at (x, y)."""

    x: float
    y: float
    width: float
    height: float
    stroke: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page of `paper` with everything on it, in drawing order."""

    title: str
    paper: Paper
    items: tuple[Text | Stroke | Box, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in millimetres."""
        return PAPERS[self.paper]
