"""Which third a measured place in the stick lies in: "two inches gone" of a six-inch stick.

A length said together with what it measures (smoked, left, the first or last of it) is set
against the length of the stick where that was told, and against a common one where not; minutes
("forty minutes in", "the last ten minutes") against the longest time told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..lines import CueHit, Line
from ..numbers import Length, Number, find_lengths, find_numbers
from ..stream import STOP, Stream, stream
from .cuts import across_cuts

USUAL = 5.5
"""Inches taken for a stick whose length was not told (common practice, no source)."""
UNSMOKED = 0.5
"""Inches at the head that are not smoked (common practice, no source)."""
PLAUSIBLE = (3.0, 10.0)
USUAL_MINUTES, SHORTEST, LONGEST = 75.0, 40.0, 240.0
"""Minutes that a stick usually takes, at least and at most (common practice, no source)."""
_PHRASES = ("third.1.place", "third.2.place", "third.3.place")
_NTH = ("first", "second", "third", "fourth", "fifth", "sixth")
_NTH_INCH = re.compile(rf"\b({'|'.join(_NTH)}) inch\b")
_AN_INCH = re.compile(r"\b(?:an|one) inch(?: and (?:a )?(half|quarter|third))?\b")
_PARTS = {"": 0.0, "half": 1 / 2, "quarter": 1 / 4, "third": 1 / 3}
_DOWN_TO = re.compile(r"\bdown to(?: (?:about|around|roughly|just|maybe))?$")
_SMOKED = frozenset("gone in down smoked burnt burned deep through done into".split())
_LEFT = frozenset("left remaining remains to".split())
_AFTER_TO = frozenset("go smoke spare".split())
_IN_HAND = ("in my hand", "in the hand", "in my fingers", "between my fingers")
_FIRST = frozenset("first opening top initial".split())
_LAST = frozenset("last final bottom closing".split())
_MINUTES = {"minute": 1, "minutes": 1, "hour": 60, "hours": 60}
_ALONG = frozenset("in into along gone".split())
_MIDDLE = frozenset("middle centre center mid".split())
_ON_THE_WAY = frozenset(
    "of is are 's it has have been now about or so still the stick cigar".split()
)
_BETWEEN = frozenset("a an about around roughly say maybe just the or so some".split())
_REACH = 4
_SIZE_REACH = 6


def measured(lines: Sequence[Line]) -> tuple[Line, ...]:
    """The lines, those that measure a place in the stick with a cue that says which third.

    The measured cue takes the place of phrases such as "two inches in", which are right only
    for a stick of common length.
    """
    found = positions(lines)
    return tuple(
        _with_cue(line, found[i]) if i in found else line
        for i, line in enumerate(across_cuts(lines))
    )


def _with_cue(line: Line, third: int) -> Line:
    kept = tuple(c for c in line.cues if c.cue not in _PHRASES)
    return replace(line, cues=(*kept, CueHit(0, len(line.tokens), f"third.{third}.measured")))


def positions(lines: Sequence[Line]) -> dict[int, int]:
    """Line index to the third (1 to 3) that its words measure, for lines that measure one."""
    row = stream(lines)
    numbers = find_numbers(row.words)
    lengths = find_lengths(row.words, numbers)
    stick = _stick(row, numbers, lengths)
    found: dict[int, int] = {}
    for length in (*lengths, *_about_an_inch(row)):
        third = _third(row, length, stick)
        if third and length.inches < stick:
            found[row.words[length.first].line] = third
    found |= _minutes(row, numbers)
    for first, end, match in row.find(_NTH_INCH):
        middle = _NTH.index(match.group(1)) + 0.5
        if row.said(first - 1, first) != "a" and end - first == 2 and middle < stick:
            found[row.words[first].line] = _of_share(middle / stick)
    return found


def _about_an_inch(row: Stream) -> Iterator[Length]:
    """ "An inch", with a half or a quarter, which holds no number to go by."""
    for first, end, match in row.find(_AN_INCH):
        inches = 1 + _PARTS[match.group(1) or ""]
        yield Length(inches, "in", inches, first, end)


def _minutes(row: Stream, numbers: Sequence[Number]) -> dict[int, int]:
    """Like `positions`, by minutes said."""
    spans = []
    for n in numbers:
        end = n.end + (row.said(n.end, n.end + 1) in ("a", "an"))
        unit = _MINUTES.get(row.said(end, end + 1))
        if unit and n.value and n.form not in ("ordinal", "clock") and n.value * unit <= LONGEST:
            spans.append((n, n.value * unit, end + 1))
    long = max((value for _, value, _ in spans), default=0.0)
    whole = long if long >= SHORTEST else USUAL_MINUTES
    found = {}
    for number, value, end in spans:
        if value >= 0.8 * whole:
            continue
        before = _beside(row, number.first - 1, -1, _BETWEEN)
        third = 1 if before in _FIRST else 3 if before in _LAST else None
        if third is None and row.said(end, end + 1) in _ALONG:
            third = _of_share(value / whole)
        if third:
            found[row.words[number.first].line] = third
    return found


def _stick(row: Stream, numbers: Sequence[Number], lengths: Sequence[Length]) -> float:
    """Length in inches: the first said by a ring gauge, else the first plausible one."""
    starts = {n.first: n for n in numbers}
    inches = {length.first: (length.inches, length.end) for length in lengths}
    for number in numbers:
        if number.value is None:
            continue
        long, end = inches.get(number.first, (number.value, number.end))
        ring = starts.get(end + 1)
        said = row.said(end, end + _SIZE_REACH).split()
        by = said[:1] in (["by"], ["x"], ["×"]) and ring is not None
        gauge = row.said(number.first - 3, number.first).find("length") >= 0 and "ring" in said
        if (by or gauge) and PLAUSIBLE[0] <= long <= PLAUSIBLE[1]:
            return long
    plausible = (n.inches for n in lengths if PLAUSIBLE[0] <= n.inches <= PLAUSIBLE[1])
    return next(plausible, USUAL)


def _third(row: Stream, length: Length, stick: float) -> int | None:
    before = _beside(row, length.first - 1, -1, _BETWEEN)
    if before in _FIRST:
        return 1
    if before in _MIDDLE:
        return 2
    if before in _LAST:
        return 3
    if _DOWN_TO.search(row.said(length.first - _REACH, length.first)):
        return _of_what_is_left(length.inches / stick)
    after = _beside(row, length.end, 1, _ON_THE_WAY)
    if row.said(length.end, length.end + 3) in _IN_HAND:
        return _of_what_is_left(length.inches / stick)
    if after in _LEFT:
        if after == "to" and row.said(length.end, length.end + _REACH).split()[-1:] == ["to"]:
            return None
        return _of_what_is_left(length.inches / stick)
    if after in _SMOKED:
        return _of_share(length.inches / stick)
    return None


def _beside(row: Stream, at: int, step: int, over: frozenset[str]) -> str:
    """The nearest word that is none of `over`, within reach and the same sentence."""
    for _ in range(_REACH):
        if not 0 <= at < len(row.words) or row.words[at + (step < 0)].gap == STOP:
            return ""
        word = row.words[at].lower
        if word not in over:
            return word
        at += step
    return ""


def _of_what_is_left(share: float) -> int:
    """The third by the share (0 to 1) that is left; nobody smokes the last half inch."""
    return _of_share(1 - max(0.0, share - UNSMOKED / USUAL))


def _of_share(smoked: float) -> int:
    """The third that lies where this share of the stick (0 to 1) is smoked."""
    return 1 if smoked < 1 / 3 else 2 if smoked < 2 / 3 else 3
