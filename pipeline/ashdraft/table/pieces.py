"""The pieces of a recording: kept one by one, and put together where they follow each other.

A folder of the table holds `piece-000007.flac` (a few seconds) and `take-000001-000006.flac`
(the pieces 1 to 6 in one file, sample for sample). A piece is taken away only once the take that
holds it has been written and read back. Whatever stops the program in between, every second is in
a file that plays.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..output import atomic_write
from . import flac

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .flac import Samples

    Floats = NDArray[np.floating[Any]]

LONGEST = 100_000
"""Pieces in one recording: eleven days of them."""
SHORTEST_TAKE = 120.0
LONGEST_TAKE = 360.0
"""Seconds. A take that is still growing ends in the first quiet moment after the one, and where
there is none in the quietest before the other: a word is not cut in two."""
EDGE = 0.35
"""Seconds on either side of a seam in which it must be quiet."""
_SAME = timedelta(seconds=0.05)
_PATIENCE = 30.0
_PIECE = re.compile(r"piece-(\d{6})\.flac$")
_TAKE = re.compile(r"take-(\d{6})-(\d{6})\.flac$")


@dataclass(frozen=True, slots=True)
class Piece:
    """A stored piece. `head`, `tail` and `floor` are levels (root mean square, 0 to 1)."""

    number: int
    path: Path
    rate: int
    begins: datetime
    samples: int
    head: float
    tail: float
    floor: float

    @property
    def seconds(self) -> float:
        return self.samples / self.rate

    @property
    def ends(self) -> datetime:
        return self.begins + timedelta(seconds=self.seconds)


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Hold `folder` for putting pieces together. Raises OSError where that takes too long."""
    from filelock import FileLock, Timeout

    try:
        with FileLock(folder / ".putting-together", timeout=_PATIENCE, mode=0o600):
            yield
    except Timeout:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY)) from None


def keep(folder: Path, number: int, samples: Samples, rate: int, moment: datetime) -> bool:
    """Store a piece, on disk for certain when this returns; False where it was there before.

    Raises OSError.
    """
    if number in numbers(folder):
        return False
    atomic_write(folder / f"piece-{number:06}.flac", flac.encoded(samples, rate, moment))
    return True


def numbers(folder: Path) -> frozenset[int]:
    """The numbers of all pieces that `folder` holds, by themselves or in takes."""
    found: set[int] = set()
    for path in folder.iterdir():
        if match := _PIECE.match(path.name):
            found.add(int(match[1]))
        elif match := _TAKE.match(path.name):
            found.update(range(int(match[1]), int(match[2]) + 1))
    return frozenset(found)


def put_together(folder: Path, *, ended: bool) -> int:
    """Put pieces that follow each other into takes and return how many takes were made.

    While the recording goes on (`ended` false) what may still grow is left alone. For one caller
    at a time. Raises OSError.
    """
    _clear(folder)
    runs = list(_runs(_pieces(folder)))
    made = 0
    for at, run in enumerate(runs):
        whole = ended or at < len(runs) - 1
        while run:
            length = len(run) if whole else _length(run)
            if not length:
                break
            _join(folder, run[:length])
            made += 1
            run = run[length:]
    return made


def _clear(folder: Path) -> None:
    """Take away pieces that a take holds already: the program ended between the two steps."""
    takes = [match for path in folder.iterdir() if (match := _TAKE.match(path.name))]
    held = {n for match in takes for n in range(int(match[1]), int(match[2]) + 1)}
    for number in held:
        (folder / f"piece-{number:06}.flac").unlink(missing_ok=True)


def _pieces(folder: Path) -> Iterator[Piece]:
    """The pieces that can be read, in order."""
    for path in sorted(folder.glob("piece-*.flac")):
        match = _PIECE.match(path.name)
        if match is not None and (piece := _measured(int(match[1]), path)) is not None:
            yield piece


def _measured(number: int, path: Path) -> Piece | None:
    import numpy as np

    try:
        rate, moment, stretches = flac.read(path)
        samples = np.concatenate(list(stretches)).astype(np.float32) / 32768
    except (ValueError, OSError):
        return None
    edge = max(int(EDGE * rate), 1)

    def level(part: Floats) -> float:
        return float(np.sqrt(np.mean(np.square(part)))) if part.size else 0.0

    whole = samples[: len(samples) // edge * edge].reshape(-1, edge)
    floor = (
        float(np.percentile(np.sqrt(np.mean(np.square(whole), axis=1)), 10)) if len(whole) else 0.0
    )
    return Piece(
        number,
        path,
        rate,
        moment,
        len(samples),
        level(samples[:edge]),
        level(samples[-edge:]),
        floor,
    )


def _runs(pieces: Iterator[Piece]) -> Iterator[list[Piece]]:
    run: list[Piece] = []
    for piece in pieces:
        if run and not _follows(run[-1], piece):
            yield run
            run = []
        run.append(piece)
    if run:
        yield run


def _follows(before: Piece, after: Piece) -> bool:
    return (
        after.number == before.number + 1
        and after.rate == before.rate
        and abs(after.begins - before.ends) < _SAME
    )


def _length(run: Sequence[Piece]) -> int:
    """How many pieces of a run that still grows make a take; 0 while it is too early to tell."""
    floor = min(piece.floor for piece in run)
    loudness: list[tuple[float, int]] = []
    seconds = 0.0
    for at, (piece, after) in enumerate(pairwise(run), start=1):
        seconds += piece.seconds
        if seconds < SHORTEST_TAKE:
            continue
        loud = max(piece.tail, after.head)
        if loud <= 2 * floor + 1e-4:
            return at
        loudness.append((loud, at))
        if seconds >= LONGEST_TAKE:
            return min(loudness)[1]
    return 0


def _join(folder: Path, run: Sequence[Piece]) -> None:
    first, last = run[0], run[-1]
    path = folder / f"take-{first.number:06}-{last.number:06}.flac"
    temporary = path.with_name(f".{path.name}.ashdraft-tmp")

    def sound() -> Iterator[Samples]:
        for piece in run:
            yield from flac.read(piece.path)[2]

    try:
        with temporary.open("wb") as file:
            flac.write(file, sound(), first.rate, first.begins)
            file.flush()
            os.fsync(file.fileno())
        if _sum(flac.read(temporary)[2]) != _sum(sound()):
            raise OSError(errno.EIO, "A take reads back otherwise than it was written")
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
    for piece in run:
        piece.path.unlink()


def _sum(sound: Iterator[Samples]) -> str:
    sum = hashlib.sha256()
    for samples in sound:
        sum.update(samples.tobytes())
    return sum.hexdigest()
