"""When a recording was made, as its container says (never from the file system's dates)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import datetime

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}$")
_CLOCK = re.compile(r"\d{2}[:.-]\d{2}[:.-]\d{2}$")
_OFFSET_WITHOUT_COLON = re.compile(r"([+-]\d{2})(\d{2})$")
# An unset clock in QuickTime and MP4 files reads as 1904 or 1970 (ISO/IEC 14496-12, 8.2.2).
_EARLIEST_YEAR = 1990


def recorded_at(tags: Iterable[Mapping[str, str]]) -> datetime | None:
    """The first full date and time in `tags` (container first, then streams), or None.

    A date without a time of day (as music files carry) is no recording time. The result is
    aware where the container names a zone (MP4, QuickTime and Matroska do), else naive
    (Broadcast WAV, EBU Tech 3285, keeps local time).
    """
    for tag in tags:
        low = {key.casefold(): value.strip() for key, value in tag.items()}
        candidates = [
            low.get("com.apple.quicktime.creationdate", ""),
            low.get("creation_time", ""),
            low.get("date", ""),
        ]
        if _DATE.match(low.get("date", "")) and _CLOCK.match(low.get("creation_time", "")):
            clock = re.sub(r"[.-]", ":", low["creation_time"])
            candidates.append(f"{low['date']}T{clock}")
        for text in candidates:
            moment = _parse(text)
            if moment is not None:
                return moment
    return None


def _parse(text: str) -> datetime | None:
    if len(text) < len("2026-05-02T20:14") or text[10:11] not in ("T", " "):
        return None
    try:
        moment = datetime.fromisoformat(_OFFSET_WITHOUT_COLON.sub(r"\1:\2", text))
    except ValueError:
        return None
    return moment if moment.year >= _EARLIEST_YEAR else None
