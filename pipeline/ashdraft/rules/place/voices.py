"""Whose words a line repeats, and of which stick: evidence for sections and thirds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ..lines import Line
from ..notes.clauses import clauses
from ..notes.phrases import Marks
from ..notes.speech import label
from ..notes.stream import build

_MOSTLY = 0.4


def voices(lines: Sequence[Line]) -> list[list[str]]:
    """Features of each line: `v:report`, `v:other` (another cigar), `v:suppose`, `v:texture`.

    A line gets one when any of its words falls under it, and `v:mostly ...` from two in five.
    """
    row = build(lines)
    labels = label(row, Marks(row), clauses(row))
    found = []
    for first, end in row.spans:
        seen = Counter(name for word in labels[first:end] for name in word)
        names = [f"v:{name}" for name in seen]
        names += [f"v:mostly {n}" for n, c in seen.items() if c >= _MOSTLY * (end - first)]
        found.append(sorted(names))
    return found
