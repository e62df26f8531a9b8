"""From a stream of samples to pieces of a few seconds, parted where it is quiet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .flac import Samples

SHORTEST = 6.0
LONGEST = 10.0
"""Seconds. A crash costs what is not a piece yet, so at most the longer."""
_BIN = 0.1
JUMP = 1.0
"""Seconds by which clock and samples may part before time is taken to have jumped."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Samples that are to be stored as one piece."""

    samples: Samples
    rate: int
    moment: datetime


@dataclass(slots=True)
class Cutter:
    """Collects samples and gives them out as pieces that follow each other without a gap.

    A new run begins with the first samples, after `end`, at another rate, and where the clock
    says that sound is missing (the computer slept).
    """

    _waiting: list[Samples] = field(default_factory=list)
    _rate: int = 0
    _begins: datetime | None = None

    def add(self, samples: Samples, rate: int, now: datetime) -> Iterator[Cut]:
        """Take samples whose last one was heard `now`; yield the pieces that are complete."""
        arrived = now - timedelta(seconds=len(samples) / rate)
        if self._begins is not None and (rate != self._rate or self._jumped(arrived)):
            yield from self.end()
        if self._begins is None:
            self._begins, self._rate = arrived, rate
        self._waiting.append(samples)
        while self._length >= LONGEST * rate:
            yield self._take(self._quietest())

    def end(self) -> Iterator[Cut]:
        """End the run; yield what is left of it."""
        if self._length:
            yield self._take(self._length)
        self._begins = None

    @property
    def _length(self) -> int:
        return sum(len(samples) for samples in self._waiting)

    def _jumped(self, arrived: datetime) -> bool:
        assert self._begins is not None
        expected = self._begins + timedelta(seconds=self._length / self._rate)
        return abs((arrived - expected).total_seconds()) > JUMP

    def _quietest(self) -> int:
        """The middle of the quietest tenth of a second between the shortest and the longest."""
        import numpy as np

        size = int(_BIN * self._rate)
        first = int(SHORTEST * self._rate)
        sound = np.concatenate(self._waiting)[first : int(LONGEST * self._rate)].astype(np.float64)
        bins = sound[: len(sound) // size * size].reshape(-1, size)
        return first + int(np.argmin(np.square(bins).mean(axis=1))) * size + size // 2

    def _take(self, count: int) -> Cut:
        import numpy as np

        assert self._begins is not None
        sound = np.concatenate(self._waiting)
        cut = Cut(sound[:count], self._rate, self._begins)
        self._begins += timedelta(seconds=count / self._rate)
        self._waiting = [sound[count:]] if count < len(sound) else []
        return cut
