"""A folder of clips: every quote of the draft as a sound file, and the highlights as times."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from ..assemble import read_times
from ..errors import InputMissing, UsageError
from ..export import Folder
from ..export.clock import chapter_time
from ..export.sources import Source, at, sources
from ..model import Said
from ..output import Written, open_folder
from .cut import SUFFIX, cut_all
from .highlights import Highlight, highlights
from .names import file_name

FOLDER = "clips"
BREATH = 0.15
"""Seconds before and behind the words, where nobody speaks."""
QUIETEST, LOUDEST = -40.0, -5.0


@dataclass(frozen=True, slots=True)
class Quote:
    """A sentence of the draft: seconds on the joined timeline, and the clip's file name."""

    utterance: int
    start: float
    end: float
    text: str
    file: str


@dataclass(frozen=True, slots=True)
class Clips:
    """What was cut; `missed` counts the sentences that lie in no recording."""

    path: Path
    quotes: tuple[Quote, ...]
    highlights: tuple[Highlight, ...]
    missed: int
    files: tuple[Written, ...]


def quotes(folder: Folder) -> tuple[Quote, ...]:
    """Return the sentences that stand in the draft, in time order, with their clips' names.

    Raises `InputMissing` where there is no draft.
    """
    try:
        draft = folder.draft.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputMissing(
            f"{folder.draft} cannot be read.", "Name the folder that ashdraft write has made."
        ) from error
    known = {u.id: u for u in folder.said}
    there = {t.utterance for t in read_times(draft) if t.line is not None and t.utterance in known}
    lines = sorted(folder.said, key=lambda u: (u.start, u.end))
    taken: set[str] = set()
    found = []
    for place, one in enumerate(lines):
        if one.id in there:
            start, end = _with_breath(lines, place)
            name = file_name(one.start, one.text, SUFFIX, taken)
            found.append(Quote(one.id, start, end, one.text, name))
    return tuple(found)


def cut_folder(
    folder: Folder,
    out: Path | None = None,
    *,
    recordings: Sequence[Path] = (),
    loudness: float | None = None,
    force: bool = False,
) -> Clips:
    """Cut every quote and list the highlights. Raises the errors of ashdraft.errors."""
    if loudness is not None and not QUIETEST <= loudness <= LOUDEST:
        raise UsageError(
            f"--loudness cannot be {loudness:g}.",
            f"Type LUFS from {QUIETEST:g} to {LOUDEST:g}: --loudness -16",
        )
    listed = quotes(folder)
    found = sources(folder, recordings)
    best = highlights(folder.notes, folder.said)
    path = out or folder.path / FOLDER
    with open_folder(path, force=force) as target:
        texts: dict[str, str | bytes] = {}
        for source in found:
            mine = [q for q in listed if at(found, q.start) is source]
            spans = [_local(source, q.start, q.end) for q in mine]
            for quote, data in zip(
                mine, cut_all(source.path, spans, loudness=loudness), strict=True
            ):
                texts[quote.file] = data
        cut = tuple(q for q in listed if q.file in texts)
        texts |= {
            "clips.json": _json("ashdraft-clips", "clips", [asdict(q) for q in cut]),
            "highlights.json": _json("ashdraft-highlights", "highlights", _rows(best, found)),
            "highlights.txt": _lines(best),
        }
        files = target.write(texts)
    return Clips(path, cut, best, len(listed) - len(cut), files)


def _with_breath(lines: Sequence[Said], place: int) -> tuple[float, float]:
    """Return a sentence's seconds with a little silence, never with a neighbour's words."""
    one = lines[place]
    before = max((u.end for u in lines[max(place - 3, 0) : place]), default=0.0)
    after = lines[place + 1].start if place + 1 < len(lines) else one.end + 2 * BREATH
    start = one.start - min(BREATH, max(one.start - before, 0.0) / 2)
    end = one.end + min(BREATH, max(after - one.end, 0.0) / 2)
    return round(max(start, 0.0), 3), round(end, 3)


def _local(source: Source, start: float, end: float) -> tuple[float, float]:
    offset = source.recording.offset
    return max(start - offset, 0.0), end - offset


def _rows(best: Sequence[Highlight], found: Sequence[Source]) -> list[dict[str, Any]]:
    rows = []
    for one in best:
        source = at(found, one.start)
        rows.append({**asdict(one), "recording": source.recording.file if source else None})
    return rows


def _lines(best: Sequence[Highlight]) -> str:
    rows = [
        f"{chapter_time(int(h.start)):>8} to {chapter_time(int(h.end) + 1):>8}  {h.why}\n"
        for h in best
    ]
    return "".join(rows) or "Nothing stands out: no note and no verdict was spoken.\n"


def _json(kind: str, key: str, rows: list[dict[str, Any]]) -> str:
    document = {"format": kind, "version": 1, key: rows}
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"
