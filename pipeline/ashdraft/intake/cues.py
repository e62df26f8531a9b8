"""Reading WebVTT and SubRip: strict about what would lose words, forgiving about the rest.

WebVTT: W3C, "WebVTT: The Web Video Text Tracks Format". SubRip has no standard; the common
conventions are accepted (comma or full stop, counters optional).
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from ..model import Heard
from .text import Fault, clean

_ARROW = "-->"
_STAMP = re.compile(r"(?:(\d{1,5}):)?(\d{1,2}):(\d{1,2})[.,](\d{1,3})$")
_TAG = re.compile(r"</?[A-Za-z][^<>]*>|<(?:\d+:)?\d\d:\d\d\.\d{3}>")
_SUBRIP_PLACE = re.compile(r"\{\\an?\d+\}")
_COUNTER = re.compile(r"\d+$")


@dataclass(frozen=True, slots=True)
class Cue:
    """One cue: seconds, and its text lines without tags or entities."""

    start: float
    end: float
    lines: tuple[str, ...]


def read_vtt(text: str) -> list[Cue]:
    """The cues of a WebVTT file, in file order; `text` has LF line ends. Raises Fault."""
    lines = text.split("\n")
    if not re.match(r"WEBVTT($|[ \t])", lines[0]):
        raise Fault(1, "the file does not begin with WEBVTT")
    start = 1
    while start < len(lines) and lines[start].strip() and _ARROW not in lines[start]:
        start += 1  # header lines, up to the first blank one
    return list(_cues(lines, start, counters=False))


def read_srt(text: str) -> list[Cue]:
    """The cues of a SubRip file, in file order; `text` has LF line ends. Raises Fault."""
    return list(_cues(text.split("\n"), 0, counters=True))


def heard(cues: Sequence[Cue]) -> tuple[Heard, ...]:
    """Utterances in time order, one for each cue that has words."""
    said = [Heard(cue.start, cue.end, " ".join(cue.lines)) for cue in cues if cue.lines]
    return tuple(sorted(said, key=lambda item: (item.start, item.end)))


def unroll(cues: Sequence[Cue]) -> tuple[list[Cue], bool]:
    """Undo rolling captions, in which every cue repeats the lines of the one before.

    Automatic captions of video sites roll: taken as they are, every sentence would be said
    two or three times. Returns the cues and whether they rolled.
    """
    repeats = sum(1 for one, two in pairwise(cues) if _repeated(one.lines, two.lines))
    if repeats < 4 or repeats * 2 < len(cues):
        return list(cues), False
    kept: list[Cue] = []
    shown: tuple[str, ...] = ()
    for cue in cues:
        fresh = cue.lines[_repeated(shown, cue.lines) :]
        shown = cue.lines or shown
        if fresh:
            kept.append(replace(cue, lines=fresh))
    return kept, True


def _repeated(before: tuple[str, ...], now: tuple[str, ...]) -> int:
    """How many of the first lines of `now` are the last lines of `before`."""
    for count in range(min(len(before), len(now)), 0, -1):
        if before[-count:] == now[:count]:
            return count
    return 0


def _cues(lines: Sequence[str], at: int, counters: bool) -> Iterator[Cue]:
    while at < len(lines):
        line = lines[at].strip()
        if _ARROW in line:
            start, end = _times(line, at + 1)
            at += 1
            payload: list[str] = []
            while at < len(lines) and lines[at].strip() and _ARROW not in lines[at]:
                payload.append(lines[at])
                at += 1
            runs_on = at < len(lines) and _ARROW in lines[at]
            if runs_on and counters and payload and _COUNTER.match(payload[-1].strip()):
                payload.pop()  # the next cue's counter: the blank line before it is missing
            yield Cue(start, end, tuple(text for text in map(_plain, payload) if text))
        elif not counters and re.match(r"(NOTE|STYLE|REGION)($|[ \t])", line):
            while at < len(lines) and lines[at].strip():
                at += 1
        elif not line or _timing_follows(lines, at):
            at += 1
        else:
            raise Fault(at + 1, "a line of times was expected here")


def _timing_follows(lines: Sequence[str], at: int) -> bool:
    """Whether line `at` is a counter or identifier: a line of times comes straight after."""
    return at + 1 < len(lines) and _ARROW in lines[at + 1]


def _times(line: str, number: int) -> tuple[float, float]:
    left, _, right = line.partition(_ARROW)
    fields = right.split()
    start, end = _seconds(left.strip(), number), _seconds(fields[0] if fields else "", number)
    if end < start:
        raise Fault(number, "the cue ends before it starts")
    return start, end


def _seconds(stamp: str, number: int) -> float:
    match = _STAMP.match(stamp)
    if match is None:
        raise Fault(number, "its times cannot be read")
    hours, minutes, seconds, fraction = match.groups()
    if int(minutes) > 59 or int(seconds) > 59:
        raise Fault(number, "its times cannot be read")
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    return whole + float(f"0.{fraction}")


def _plain(line: str) -> str:
    bare = _SUBRIP_PLACE.sub("", _TAG.sub("", line))
    return clean(html.unescape(bare))
