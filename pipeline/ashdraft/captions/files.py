"""Cues as files: WebVTT and SubRip. Cues carry no identifiers, so that none can occur twice."""

from __future__ import annotations

from collections.abc import Iterable

from ..export import clock
from .cues import Cue


def vtt(cues: Iterable[Cue]) -> str:
    """Return a WebVTT file (W3C, WebVTT: the Web Video Text Tracks Format)."""
    blocks = ["WEBVTT\n"]
    for cue in cues:
        blocks.append(
            f"{clock.vtt_time(cue.start)} --> {clock.vtt_time(cue.end)}\n"
            + "".join(f"{_vtt_text(line)}\n" for line in cue.lines)
        )
    return "\n".join(blocks)


def srt(cues: Iterable[Cue]) -> str:
    """Return a SubRip file: counter from 1, decimal comma, UTF-8, line feeds."""
    return "\n".join(
        f"{number}\n{clock.srt_time(cue.start)} --> {clock.srt_time(cue.end)}\n"
        + "".join(f"{_srt_text(line)}\n" for line in cue.lines)
        for number, cue in enumerate(cues, start=1)
    )


def _vtt_text(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _srt_text(line: str) -> str:
    """SubRip has no escapes: look-alikes stand for what players take as tags or arrows."""
    return line.replace("<", "‹").replace(">", "›").replace("{\\", "{ \\")
