"""Times as caption and chapter files write them. Whole milliseconds first, fields after.

Formatting a float's seconds with three decimals can give `60.000`; integers cannot.
"""

from __future__ import annotations

import re

_TIME = re.compile(r"(-?)(?:(?:([0-9]{1,4}):)?([0-9]{1,4}):)?([0-9]{1,6})(?:[.,]([0-9]{1,9}))?")


def milliseconds(seconds: float) -> int:
    """Return `seconds` rounded half up to whole milliseconds, never below zero."""
    return max(0, int(seconds * 1000 + 0.5))


def vtt_time(ms: int) -> str:
    """Return `HH:MM:SS.mmm`; hours have two or more digits (WebVTT, cue timings)."""
    return _fields(ms, ".")


def srt_time(ms: int) -> str:
    """Return `HH:MM:SS,mmm`, as SubRip files write it."""
    return _fields(ms, ",")


def chapter_time(seconds: int) -> str:
    """Return `M:SS`, or `H:MM:SS` from one hour on."""
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02}:{second:02}" if hours else f"{minute}:{second:02}"


def signed_time(ms: int) -> str:
    """Return `M:SS.mmm` or `H:MM:SS.mmm`, with a minus sign below zero."""
    second, milli = divmod(abs(ms), 1000)
    return f"{'-' if ms < 0 else ''}{chapter_time(second)}.{milli:03}"


def read_time(text: str) -> int:
    """Return the milliseconds of `12:34`, `1:02:03.5`, `754.2` or `-0:30`, rounded half up.

    The inverse of the functions above. Raises `ValueError` for anything else; minutes and
    seconds stop at 59 where something stands before them.
    """
    match = _TIME.fullmatch(text.strip())
    if not match:
        raise ValueError(f"{text!r} is no time")
    sign, hours, minutes, seconds, part = match.groups()
    if (hours and int(minutes) > 59) or (minutes and (int(seconds) > 59 or len(seconds) != 2)):
        raise ValueError(f"{text!r} is no time")
    whole = (int(hours or 0) * 60 + int(minutes or 0)) * 60 + int(seconds)
    thousandths = (int((part or "0").ljust(4, "0")[:4]) + 5) // 10
    return (whole * 1000 + thousandths) * (-1 if sign else 1)


def _fields(ms: int, point: str) -> str:
    second, milli = divmod(ms, 1000)
    minute, second = divmod(second, 60)
    hour, minute = divmod(minute, 60)
    return f"{hour:02}:{minute:02}:{second:02}{point}{milli:03}"
