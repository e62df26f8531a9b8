"""Where a chapter begins: at the breath before its first word, never inside a word."""

from __future__ import annotations

from collections.abc import Sequence

from ..export.clock import milliseconds
from ..model import Chapter, Recording, Said
from .entry import Entry, ascending, clean

LEAD = 400
"""Milliseconds ahead of the first word, where the silence is long enough (own choice: about
one audible breath)."""


def entries(
    chapters: Sequence[Chapter], said: Sequence[Said], recordings: Sequence[Recording] = ()
) -> tuple[Entry, ...]:
    """Return the chapters of notes, each moved into the silence before its first word.

    `said` in time order, with word times where they are known; times in seconds on the joined
    timeline. A chapter keeps to the recording that its first word is in. One that does not begin
    with a sentence has been placed already (the chapters of a cut have) and stays where it is.
    """
    spans = sorted(span for one in said for span in _spans(one))
    opens = sorted(milliseconds(r.offset) for r in recordings)
    firsts = {milliseconds(one.start): _spans(one)[0][0] for one in reversed(said)}
    found = []
    for chapter in chapters:
        start = milliseconds(chapter.start)
        if start not in firsts:
            found.append(Entry(start, clean(chapter.title)))
            continue
        first = firsts[start]
        ended = max((end for start, end in spans if start < first), default=0)
        opened = max((o for o in opens if o <= first), default=0)
        found.append(Entry(max(_breath(ended, first), opened), clean(chapter.title)))
    return ascending(found)


def _breath(ended: int, first: int) -> int:
    """Return the middle of a short silence, or `LEAD` before the word after a long one."""
    silence = first - ended
    return first - min(LEAD, silence // 2) if silence > 0 else first


def _spans(one: Said) -> list[tuple[int, int]]:
    """Return start and end of every word, or of the utterance where it has no word times."""
    return [(milliseconds(p.start), milliseconds(p.end)) for p in (one.words or (one,))]
