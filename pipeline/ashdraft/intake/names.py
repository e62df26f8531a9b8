"""File names: how they are shown, and the order people expect them in."""

from __future__ import annotations

import re
from pathlib import Path

from ..progress import printable

_DIGITS = re.compile(r"(\d+)")


def shown(path: Path) -> str:
    """The last part of `path` as text that never acts on a terminal."""
    return printable(path.name or str(path))


def natural(path: Path) -> tuple[tuple[int, int, str], ...]:
    """Sort key under which `clip 2` comes before `clip 10` and `Memo` before `Memo 2`."""
    parts = [part for part in _DIGITS.split(path.stem.casefold()) if part]
    key = tuple((0, int(p), p) if p.isdecimal() else (1, 0, p) for p in parts)
    return (*key, (-1, 0, path.suffix.casefold()))
