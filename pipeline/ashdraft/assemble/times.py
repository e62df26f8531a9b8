"""The time of each sentence, where no reader meets it and every program finds it.

The draft ends with one link reference definition for each utterance (CommonMark 4.7):

    [u57]: <#t=754.2,758.9> "12:34 It opens with white pepper"

They render to nothing anywhere. The target is a temporal media fragment (W3C Media Fragments
URI 1.0, 4.2.1) on the joined timeline; the title holds the clock and the first words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..export.clock import chapter_time
from ..model import Utterance
from .markdown import escape, plain

OPENING_WORDS = 6
LEGEND = '[times]: <#t> "When each sentence was said: seconds from and to, the clock, first words"'

_DEFINITION = re.compile(r'^\[u(\d+)\]: <#t=([\d.]+),([\d.]+)> "[\d:]+ (.*)"$')
_NOT_PROSE = re.compile(r"^(?:#{1,6} |[-|*>]|\[u?\w+\]: |---$|$)")
_FRONT_MATTER = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Timed:
    """An utterance in a draft: seconds, and its line (from 1), None where it was cut out."""

    utterance: int
    start: float
    end: float
    line: int | None


def clock(seconds: float) -> str:
    """Return a time as people read it: `12:34`, `1:02:03`."""
    return chapter_time(max(0, int(seconds)))


def listen(seconds: float) -> str:
    """Return a time to listen at, for people and for players: `12:34 (754.2 s)`."""
    return f"{clock(seconds)} ({seconds:.1f} s)"


def definitions(utterances: Iterable[Utterance]) -> str:
    """Return the definitions for utterances in the order in which the draft shows them."""
    return "\n".join([LEGEND, *(_definition(u) for u in utterances)])


def read_times(draft: str) -> tuple[Timed, ...]:
    """Return the times in a draft, each bound to the line that holds its sentence.

    Lines are found by the first words of each sentence, in order, so a draft may be edited:
    a sentence that was moved is found where it is now, one that was rewritten or cut is not.
    """
    skipped = _FRONT_MATTER.match(draft)
    first = skipped[0].count("\n") if skipped else 0
    lines = draft.splitlines()
    prose = [
        (n + 1, plain(line).casefold())
        for n, line in enumerate(lines)
        if n >= first and not _NOT_PROSE.match(line)
    ]
    found: list[Timed] = []
    used: dict[int, int] = {}
    cursor = 0
    for line in lines:
        if not (match := _DEFINITION.match(line)):
            continue
        words = plain(match[4]).casefold()
        order = (*range(cursor, len(prose)), *range(cursor))
        place = next((n for n in order if words in prose[n][1][used.get(n, 0) :]), None)
        if place is not None:
            cursor = place
            used[place] = prose[place][1].index(words, used.get(place, 0)) + len(words)
        at = prose[place][0] if place is not None else None
        found.append(Timed(int(match[1]), float(match[2]), float(match[3]), at))
    return tuple(found)


def with_times(draft: str, spans: Mapping[int, tuple[float, float]]) -> str:
    """Return the draft with other seconds for its sentences, by utterance id.

    The text stays. A sentence without a span has no time any more.
    """
    lines = []
    for line in draft.splitlines(keepends=True):
        if not (match := _DEFINITION.match(line)):
            lines.append(line)
        elif span := spans.get(int(match[1])):
            lines.append(_line(int(match[1]), *span, match[4]) + "\n")
    return "".join(lines)


def opening(text: str) -> str:
    """Return the first words of a sentence, without the sign after them."""
    return " ".join(text.split()[:OPENING_WORDS]).rstrip(".,;:!?…—")


def _definition(utterance: Utterance) -> str:
    words = escape(opening(utterance.text)).replace('"', "&quot;")
    return _line(utterance.id, utterance.start, utterance.end, words)


def _line(number: int, start: float, end: float, words: str) -> str:
    return f'[u{number}]: <#t={start:.1f},{end:.1f}> "{clock(start)} {words}"'
