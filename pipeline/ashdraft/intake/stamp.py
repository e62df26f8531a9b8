"""Whether a file is still the one it was: a recorder, or a copy, may be writing to it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ..errors import InputMissing
from .names import shown


@dataclass(frozen=True, slots=True)
class Stamp:
    """Bytes, and the time of the last change in nanoseconds since 1970."""

    size: int
    changed: int


def stamp_of(path: Path) -> Stamp:
    """What `path` is now. Raises InputMissing."""
    try:
        now = path.stat()
    except OSError as error:
        raise InputMissing(
            f"{shown(path)} is not there any more ({error.strerror}).",
            "Put it back and run the same command again.",
        ) from error
    return Stamp(now.st_size, now.st_mtime_ns)


def unchanged(path: Path, before: Stamp) -> None:
    """Raise InputMissing where `path` has changed or is gone."""
    if stamp_of(path) != before:
        raise InputMissing(
            f"{shown(path)} changed while it was being read.",
            "Run the same command again once nothing writes to it.",
        )
