"""What counts and facts both stand on: the words in one row, their numbers, their scope."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .lines import Line
from .numbers import Length, Number, find_lengths, find_numbers
from .scope import Scope, scope
from .stream import Stream, stream


@dataclass(frozen=True, slots=True)
class Ground:
    """A recording's words with what was found in them; `starts` finds a number by its word."""

    row: Stream
    numbers: tuple[Number, ...]
    lengths: tuple[Length, ...]
    scope: Scope
    starts: dict[int, Number]

    def numbers_in(self, first: int, end: int) -> list[Number]:
        """The numbers that begin within words `first` to `end`."""
        return [self.starts[n] for n in range(first, end) if n in self.starts]

    def line_id(self, word: int) -> int:
        """The utterance id of the line a word stands in."""
        return self.row.lines[self.row.words[word].line].id


_last: tuple[Sequence[Line], Ground] | None = None


def ground(lines: Sequence[Line]) -> Ground:
    """Read the words of a recording; asked again for the same lines it answers at once."""
    global _last
    if _last is not None and _last[0] is lines:
        return _last[1]
    row = stream(lines)
    numbers = find_numbers(row.words)
    made = Ground(
        row, numbers, find_lengths(row.words, numbers), scope(row), {n.first: n for n in numbers}
    )
    _last = (lines, made)
    return made
