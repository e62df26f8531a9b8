"""Words that name a third across two lines: a recogniser may cut "second | third" at a breath."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from .. import data
from ..lines import CueHit, Line

_NAMING = re.compile(r"third\.[123]\.(named|part|place)")
_REACH = 4
_ENDS = (".", "!", "?", "…")


@cache
def _phrases() -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Cue and pattern of all phrases that name a third in two words or more."""
    found = []
    for cue, phrases in data.cues().items():
        if _NAMING.fullmatch(cue):
            longer = sorted({p.replace("-", " ") for p in phrases if " " in p.replace("-", " ")})
            found.append((cue, re.compile(rf"\b(?:{'|'.join(map(re.escape, longer))})\b")))
    return tuple(found)


def across_cuts(lines: Sequence[Line]) -> tuple[Line, ...]:
    """The lines, each with the cues of phrases that begin in the unfinished line before it."""
    found = list(lines)
    for i, (before, line) in enumerate(itertools.pairwise(lines), 1):
        if before.text.rstrip().endswith(_ENDS):
            continue
        head = " ".join(before.words()[-_REACH:])
        both = f"{head} {' '.join(line.words()[:_REACH])}"
        cues = tuple(
            CueHit(0, 1, cue)
            for cue, pattern in _phrases()
            if any(m.start() < len(head) < m.end() for m in pattern.finditer(both))
        )
        if cues:
            found[i] = replace(line, cues=(*cues, *line.cues))
    return tuple(found)
