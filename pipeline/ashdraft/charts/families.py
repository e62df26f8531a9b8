"""Families of notes by third: one line a family, one column a third, a block for each note.

The columns stand as the thirds do in the stick, left to right. They differ by place, by hatching
and by a figure at the end of each bar; nothing is told by colour.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .svg import element, label, number, picture, shortened, width_of
from .words import family_words

THIRDS = ("first third", "second third", "final third")
LINE = 26
HEAD = 34
BAR = 15
GAP = 14
PARTING = 3.4
BOLD = 1.1
"""How much wider bold text is, at most."""
Rows = Mapping[str, tuple[int, int, int]]


def families_by_third(
    rows: Rows,
    *,
    title: str = "Families of notes by third",
    unit: tuple[str, str] = ("note", "notes"),
    name: str = "families",
    width: int = 460,
) -> str:
    """Return the chart as SVG text.

    `rows` maps a lexicon family to its numbers in the first, second and final third, none below
    zero; the largest come first and families without any are left out. `unit` is what is counted,
    one and many (`("stick", "sticks")`). `name` must differ between the pictures of one page.
    Raises `ValueError` for a number below zero. The same rows give the same text.
    """
    if any(n < 0 for counts in rows.values() for n in counts):
        raise ValueError("a family cannot have been met less than no times")
    told = sorted(
        ((family_words(f), counts) for f, counts in rows.items() if any(counts)),
        key=lambda row: (-sum(row[1]), row[0]),
    )
    if not told:
        text = f"No {unit[1]} were named in any third."
        return picture(name, title, text, width, LINE, label(0, 18, text))
    most = max(n for _, counts in told for n in counts)
    names = min(max(width_of(words) for words, _ in told), width * 0.42)
    room = (width - names - GAP * len(THIRDS)) / len(THIRDS)
    starts = [names + GAP + third * (room + GAP) for third in range(len(THIRDS))]
    scale = (room - width_of(f" {most}") - 4) / most
    height = HEAD + LINE * len(told) + 4
    parts = [_hatching(name), *_columns(starts, room, height)]
    for n, (words, counts) in enumerate(told):
        top = HEAD + n * LINE
        parts.append(label(names, top + 16, shortened(words, names + 2), text_anchor="end"))
        for third, k in enumerate(counts):
            if k:
                parts.append(_bar(starts[third], top + 4, k, scale, f"url(#{name}-{third + 1})"))
    return picture(name, title, _described(told, unit), width, height, *parts)


def _hatching(name: str) -> str:
    """Return the three fillings: wide strokes, narrow strokes the other way, and solid."""
    strokes = (
        element("path", d="M-1 7L7 -1M-1 1L1 -1M5 7L7 5", stroke="currentColor", stroke_width=1.2),
        element("path", d="M0 0L4 4M-1 3L1 5M3 -1L5 1", stroke="currentColor", stroke_width=1.5),
        element("rect", width=6, height=6, fill="currentColor"),
    )
    sides = (6, 4, 6)
    return element(
        "defs",
        "".join(
            element(
                "pattern", stroke, id=f"{name}-{third}", width=side, height=side,
                patternUnits="userSpaceOnUse",
            )
            for third, (stroke, side) in enumerate(zip(strokes, sides, strict=True), start=1)
        ),
    )  # fmt: skip


def _columns(starts: Sequence[float], room: float, height: float) -> list[str]:
    """Return the heads of the columns and the line on which each stands."""
    short = any(width_of(words) * BOLD > room for words in THIRDS)
    parts = []
    for x, words in zip(starts, THIRDS, strict=True):
        head = words.removesuffix(" third") if short else words
        parts.append(label(x, 18, head, font_weight="bold"))
        parts.append(element("path", d=f"M{number(x)} 26V{number(height)}", stroke="currentColor"))
    return parts


def _bar(x: float, y: float, k: int, scale: float, fill: str) -> str:
    """Return a bar of `k`, in blocks where one is wide enough to be seen, and its figure."""
    blocks = k if scale >= BAR / 2 else 1
    length = k * scale / blocks
    parting = PARTING if blocks > 1 else 0
    bar = "".join(
        element(
            "rect", x=x + n * length + 0.7, y=y, width=max(length - parting, 1), height=BAR,
            fill=fill, stroke="currentColor", stroke_width=1.4,
        )
        for n in range(blocks)
    )  # fmt: skip
    return bar + label(x + k * scale + 5, y + 12, str(k))


def _described(told: Sequence[tuple[str, tuple[int, int, int]]], unit: tuple[str, str]) -> str:
    """Return every figure of the chart in words."""
    lines = []
    for words, counts in told:
        told_by_third = ", ".join(
            f"{name} {k}" for name, k in zip(THIRDS, counts, strict=True) if k
        )
        total = sum(counts)
        lines.append(f"{words}: {total} {unit[total != 1]} ({told_by_third})")
    return "; ".join(lines) + "."
