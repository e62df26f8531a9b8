"""The criteria of a sheet in one to four columns, each with a box for its mark."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..charts.svg import shortened, width_of
from ..sheet.definition import Row, SheetDefinition
from .paper import POINT, Anchor, Box, Stroke, Text

BODY = 10.5
HEAD_HEIGHT = 5.6
TALL, LEAST, ONE_COLUMN = 9.5, 3.8, 4.9
"""Heights of a row: the most that it gets; the least, in several columns and in one."""
MOST_COLUMNS = 4
GUTTER = 4.0
STRONG, PLAIN, FINE = 0.55, 0.3, 0.2
SMALLEST = 6.0
"""Points below which text is cut and not made smaller."""
WEIGHT, MARK = 12.0, 19.0
NARROW_WEIGHT, NARROW_MARK = 8.0, 13.0


@dataclass(frozen=True, slots=True)
class Area:
    """A part of the page, from its upper left corner, in millimetres."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Marks:
    """The criteria drawn; `bottom` is where they end; `crowded` where two columns do not do."""

    items: tuple[Text | Stroke | Box, ...]
    bottom: float
    crowded: bool


def fitted(words: str, room: float, points: float) -> tuple[float, str]:
    """Return the size at which `words` fit into `room` millimetres, and the words, cut if need be.

    The size is `points` where that fits, and else not below `SMALLEST`.
    """
    wide = width_of(words, points) * POINT
    if wide > room:
        points = max(points * room / wide, min(points, SMALLEST))
    return points, shortened(words, room / POINT + 0.01, points)


def criteria(definition: SheetDefinition, area: Area) -> Marks:
    """Draw the rows of a sheet into `area`: in one column where they are tall enough there."""
    rows = definition.rows
    height = (area.height - HEAD_HEIGHT) / len(rows)
    if height >= ONE_COLUMN:
        return _one_column(definition, area, min(height, TALL))
    for columns in range(2, MOST_COLUMNS + 1):
        parts = _parted(definition, columns)
        height = (area.height - HEAD_HEIGHT) / max(len(part) for part in parts)
        if height >= LEAST or columns == MOST_COLUMNS:
            break
    return _columns(parts, area, min(height, TALL))


def _one_column(definition: SheetDefinition, area: Area, height: float) -> Marks:
    names = max(_wide(row.name) for row in definition.rows) + 3
    sections = max(_wide(section.name) * 1.1 for section in definition.sections) + 4
    sections, names = min(sections, area.width * 0.2), min(names, area.width * 0.36)
    x = (area.x, area.x + sections, area.x + sections + names)
    weight, mark = x[2] + WEIGHT / 2, x[2] + WEIGHT
    words, right = mark + MARK + 3, area.x + area.width
    y = area.y + HEAD_HEIGHT
    head = area.y + HEAD_HEIGHT - 1.6
    items: list[Text | Stroke | Box] = [
        Text(x[1], head, "Criterion", BODY, bold=True),
        Text(weight, head, "Weight", BODY, bold=True, anchor="middle"),
        Text(mark + MARK / 2, head, "Mark", BODY, bold=True, anchor="middle"),
        Text(words, head, "Why", BODY, bold=True),
    ]
    for section in definition.sections:
        items.append(Stroke(area.x, y, area.width, 0, STRONG))
        items.append(_line(x[0], y, height, section.name, sections - 3, bold=True))
        for n, row in enumerate(section.rows):
            if n:
                items.append(Stroke(x[1], y, right - x[1], 0, FINE))
            items += [
                _line(x[1], y, height, row.name, names - 2),
                _line(weight, y, height, f"{float(row.weight):g}", WEIGHT - 1, anchor="middle"),
                Box(mark, y, MARK, height, STRONG),
            ]
            y += height
    items.append(Stroke(area.x, y, area.width, 0, STRONG))
    return Marks(tuple(items), y, crowded=False)


Entry = tuple[str, Row | None]
"""A line of a column: the name of a section, or a row of it."""


def _parted(definition: SheetDefinition, columns: int) -> list[list[Entry]]:
    """Return the lines of each column.

    A section's name never stands last in one, and is repeated where a column begins within it.
    """
    lines: list[Entry] = []
    for section in definition.sections:
        lines.append((section.name, None))
        lines += [(row.name, row) for row in section.rows]
    longest = -(-len(lines) // columns)
    parts: list[list[Entry]] = [[]]
    heading = ""
    for n, line in enumerate(lines):
        heading = heading if line[1] else line[0]
        last = line[1] is None and len(parts[-1]) == longest - 1 and n + 1 < len(lines)
        if parts[-1] and (len(parts[-1]) >= longest or last) and len(parts) < columns:
            parts.append([(heading, None)] if line[1] else [])
        parts[-1].append(line)
    return parts


def _columns(parts: Sequence[Sequence[Entry]], area: Area, height: float) -> Marks:
    width = (area.width - GUTTER * (len(parts) - 1)) / len(parts)
    items: list[Text | Stroke | Box] = []
    wide = len(parts) == 2
    room = width - NARROW_WEIGHT - NARROW_MARK
    if wide:
        longest = max(_wide(name) for part in parts for name, _ in part) + 2
        room = min(room, max(longest, width * 0.3))
    for n, part in enumerate(parts):
        x = area.x + n * (width + GUTTER)
        weight = x + room + NARROW_WEIGHT / 2
        mark = x + room + NARROW_WEIGHT
        head = area.y + HEAD_HEIGHT - 1.6
        items.append(Text(mark + NARROW_MARK / 2, head, "Mark", BODY, bold=True, anchor="middle"))
        if wide:
            items.append(Text(mark + NARROW_MARK + 2, head, "Why", BODY, bold=True))
        y = area.y + HEAD_HEIGHT
        for name, row in part:
            items.append(Stroke(x, y, width, 0, FINE if row else STRONG))
            items.append(_line(x, y, height, name, (room if row else width) - 1, bold=row is None))
            if row:
                share = f"{float(row.weight):g}"
                items.append(_line(weight, y, height, share, NARROW_WEIGHT - 1, anchor="middle"))
                items.append(Box(mark, y, NARROW_MARK, height, STRONG))
            y += height
        items.append(Stroke(x, y, width, 0, STRONG))
    bottom = area.y + HEAD_HEIGHT + height * max(len(part) for part in parts)
    return Marks(tuple(items), bottom, crowded=not wide)


def _line(
    x: float, y: float, height: float, words: str, room: float, *, bold: bool = False,
    anchor: Anchor = "start",
) -> Text:  # fmt: skip
    """Return a line of text in the middle of a row, as high as the row allows."""
    points, shown = fitted(words, room / (1.1 if bold else 1), min(BODY, height * 0.76 / POINT))
    baseline = y + height / 2 + points * POINT * 0.36
    return Text(x, baseline, shown, points, bold, anchor)


def _wide(words: str) -> float:
    return width_of(words, BODY) * POINT
