"""What became of the recording: `cut.json` for programs, `cut.txt` for people."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from ..export.clock import chapter_time
from ..model import Notes, Said
from .cut import Cut, Span
from .moved import Heard, left_out

FORMAT = "ashdraft-cut"
VERSION = 1
APART = 5.0
"""Seconds between utterances from which on they are listed as two stretches."""


def cut_json(notes: Notes, cut: Cut, heard: Sequence[Heard], said: Sequence[Said]) -> str:
    """Return the text of `cut.json`; seconds to a millisecond.

    `from` is where a passage begins on the joined timeline of the recordings.
    """
    document: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "video": asdict(cut.video),
        "recordings": [asdict(r) for r in notes.recordings],
        "passages": [
            {
                "start": _ms(p.start),
                "end": _ms(p.end),
                "from": _ms(p.start + p.distance),
                "recording": notes.recordings[p.recording].file,
            }
            for p in cut.passages
        ],
        "unknown": [
            {"start": _ms(s.start), "end": _ms(s.end), "pause": s.pause} for s in cut.unknown
        ],
        "left_out": [
            {"start": _ms(span.start), "end": _ms(span.end), "utterances": ids}
            for span, ids in stretches(left_out(heard, said))
        ],
        "utterances": [
            {
                "id": one.said.id,
                "of": one.origin,
                "whole": one.whole,
                "start": one.said.start,
                "end": one.said.end,
            }
            for one in heard
        ],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def cut_txt(notes: Notes, cut: Cut, heard: Sequence[Heard], said: Sequence[Said]) -> str:
    """Return the list for people: what matches nothing, what is missing, where all else is from."""
    gone = stretches(left_out(heard, said))
    names = [r.file for r in notes.recordings]
    rows = [
        f"{cut.video.file}, {chapter_time(int(cut.video.duration))}",
        "",
        "Seconds of the video whose sound is in no recording",
        *(_span(s) + ("  perhaps music over a pause" if s.pause else "") for s in cut.unknown),
        *([] if cut.unknown else ["none"]),
        "",
        "Speech of the recording that is not in the video (times of the recording)",
        *(f"{_span(span)}  {_sentences(len(ids))}" for span, ids in gone),
        *([] if gone else ["none"]),
        "",
        "Where the video comes from",
        *(
            f"{_span(Span(p.start, p.end))}  from {names[p.recording]}"
            f" at {chapter_time(int(max(p.start + p.distance - offset, 0)))}"
            for p in cut.passages
            for offset in [notes.recordings[p.recording].offset]
        ),
    ]
    return "\n".join(rows) + "\n"


def stretches(utterances: Sequence[Said]) -> list[tuple[Span, list[int]]]:
    """Return stretches of speech with the ids of their utterances."""
    found: list[tuple[Span, list[int]]] = []
    for one in sorted(utterances, key=lambda u: (u.start, u.end)):
        if found and one.start - found[-1][0].end < APART:
            span, ids = found[-1]
            found[-1] = (Span(span.start, max(span.end, one.end)), [*ids, one.id])
        else:
            found.append((Span(one.start, one.end), [one.id]))
    return found


def _span(span: Span) -> str:
    return f"{chapter_time(int(span.start)):>8} to {chapter_time(int(span.end)):>8}"


def _sentences(count: int) -> str:
    return "1 sentence" if count == 1 else f"{count} sentences"


def _ms(seconds: float) -> float:
    return round(max(seconds, 0.0), 3)
