"""The draft of a recording as the draft of the cut: the same words, at the cut's seconds.

Times that are seen (`said at 0:18`, `Listen at 1:21 (81.5 s)`) stand in the tool's own lines:
tables, lists and lines in italics. Those of the cut replace them. What is not in the cut keeps
its time, and the words behind it say whose time that is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence

from ..assemble.times import CLOCK, ELSEWHERE, clock, listen, with_times
from ..model import Descriptor, Event, Notes
from .cut import Cut
from .moved import Heard
from .notes import moved_start

Moments = Mapping[str, Sequence[tuple[float, float | None]]]
"""By the clock: seconds of the recording, and those of the cut where they are in it."""
_TOOLS = re.compile(r"\s*(?:\||[-*+] |\*[^*].*\*$)")
_FRONT_MATTER = re.compile(r"\A---\n.*?\n---\n", re.DOTALL)
_RECORDINGS = re.compile(r"^recordings:\n(?:- (?!withheld).*\n)+", re.MULTILINE)
_SHOWN = re.compile(rf"“[^”]*”|(?P<clock>{CLOCK.pattern})(?: \((?P<seconds>\d+\.\d) s\))?")
_ROUNDED = 0.06


def draft_of_cut(draft: str, notes: Notes, cut: Cut, heard: Sequence[Heard]) -> str:
    """Return the draft with the times of the cut; `notes` are those of the recording."""
    first = {one.origin: one for one in heard if one.said.id == one.origin}
    spans = {origin: (one.said.start, one.said.end) for origin, one in first.items()}
    text = with_times(draft, spans)
    front = _FRONT_MATTER.match(text)
    behind = front.end() if front else 0
    moments = _moments(notes, cut, first)
    lines = (
        _line(line, moments) if _TOOLS.match(line) else line
        for line in text[behind:].splitlines(keepends=True)
    )
    video = f"recordings:\n- {json.dumps(cut.video.file, ensure_ascii=False)}\n"
    return _RECORDINGS.sub(lambda _: video, text[:behind], count=1) + "".join(lines)


def _line(line: str, moments: Moments) -> str:
    """Return a line of the tool's with its times moved; what is quoted in it stays."""

    def moved(match: re.Match[str]) -> str:
        if not match["clock"]:
            return match[0]
        known = moments.get(match["clock"], ())
        if seconds := match["seconds"]:
            known = [m for m in known if abs(m[0] - float(seconds)) < _ROUNDED]
        if not known:
            return match[0]
        start = next((after for _, after in known if after is not None), None)
        if start is None:
            return match[0].replace(match["clock"], match["clock"] + ELSEWHERE, 1)
        return listen(start) if seconds else clock(start)

    return _SHOWN.sub(moved, line)


def _moments(notes: Notes, cut: Cut, first: Mapping[int, Heard]) -> Moments:
    """Return every moment whose time a draft shows: sentences first, then what lies in them."""
    reading, found = notes.reading, dict[str, list[tuple[float, float | None]]]()

    def add(rows: Iterable[tuple[float | None, float | None]]) -> None:
        for second, after in rows:
            if second is not None:
                found.setdefault(clock(second), []).append((second, after))

    add((u.start, first[u.id].said.start if u.id in first else None) for u in reading.utterances)
    rows: tuple[Descriptor | Event, ...] = (*reading.events, *reading.descriptors)
    add((row.start, moved_start(row, cut, first)) for row in rows)
    timing = reading.timing
    ends = (timing.lit, timing.second_third, timing.final_third, timing.put_down)
    add((second, cut.moved(second)) for second in ends)
    return found
