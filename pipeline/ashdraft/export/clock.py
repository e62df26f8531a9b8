"""Times as caption and chapter files write them. Whole milliseconds first, fields after.

Formatting a float's seconds with three decimals can give `60.000`; integers cannot.
"""

from __future__ import annotations


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


def _fields(ms: int, point: str) -> str:
    second, milli = divmod(ms, 1000)
    minute, second = divmod(second, 60)
    hour, minute = divmod(minute, 60)
    return f"{hour:02}:{minute:02}:{second:02}{point}{milli:03}"
