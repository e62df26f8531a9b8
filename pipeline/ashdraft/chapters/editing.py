"""Chapters as markers for editing programs: CMX 3600 EDL and OpenTimelineIO.

One event or clip lasts as long as the video, and the chapters are markers on it.
"""

from __future__ import annotations

import json
from typing import Any
from urllib.parse import quote

from ..errors import UsageError
from .entry import Listing, clean
from .timecode import Rate

DAY = 24 * 3600 * 1000
"""Milliseconds that a timecode can count."""
COLOUR = "BLUE"
REEL = "AX"
"""The reel of material without a tape (common practice, no source)."""


def edl(listing: Listing, rate: Rate, name: str) -> str:
    """Return a CMX 3600 list; `name` is the video's, for the notes in it.

    Times begin at 00:00:00:00. Raises `UsageError` for a video of a day or more, as timecode
    begins again then.
    """
    if listing.length >= DAY:
        raise UsageError(
            "An edit list cannot hold a video of 24 hours or more.", "Use --format otio instead."
        )
    begin, end = rate.timecode(0), rate.timecode(rate.frame(listing.length))
    markers = "".join(
        f"* LOC: {rate.timecode(rate.frame(s.start))} {COLOUR:7} {s.title}\n"
        for s in listing.spans()
    )
    return (
        f"TITLE: {clean(name)}\n"
        f"FCM: {'DROP FRAME' if rate.drop else 'NON-DROP FRAME'}\n\n"
        f"001  {REEL:8} V     C        {begin} {end} {begin} {end}\n"
        f"* FROM CLIP NAME: {clean(name)}\n"
        f"{markers}"
    )


def otio(listing: Listing, rate: Rate, name: str, file: str | None = None) -> str:
    """Return an OpenTimelineIO timeline (schemas Timeline.1, Track.1, Clip.2, Marker.2).

    `file` is the video's file, relative to where the timeline will lie; None where not known.
    """
    markers = [
        {
            "OTIO_SCHEMA": "Marker.2",
            "name": s.title,
            "color": COLOUR,
            "comment": "",
            "marked_range": _range(rate, rate.frame(s.start), 1),
            "metadata": {},
        }
        for s in listing.spans()
    ]
    whole = _range(rate, 0, rate.frame(listing.length))
    clip = {
        **_item("Clip.2", name),
        "source_range": whole,
        "markers": markers,
        "media_references": {"DEFAULT_MEDIA": _media(whole, file)},
        "active_media_reference_key": "DEFAULT_MEDIA",
    }
    track = {**_item("Track.1", "Video"), "kind": "Video", "children": [clip]}
    timeline = {
        "OTIO_SCHEMA": "Timeline.1",
        "name": name,
        "global_start_time": _time(rate, 0),
        "metadata": {},
        "tracks": {**_item("Stack.1", "tracks"), "children": [track]},
    }
    return json.dumps(timeline, indent=2, ensure_ascii=False) + "\n"


def _item(schema: str, name: str) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": schema,
        "name": name,
        "source_range": None,
        "effects": [],
        "markers": [],
        "enabled": True,
        "metadata": {},
    }


def _media(whole: dict[str, Any], file: str | None) -> dict[str, Any]:
    known = {"name": "", "available_image_bounds": None, "available_range": whole, "metadata": {}}
    if file is None:
        return {"OTIO_SCHEMA": "MissingReference.1", **known}
    return {"OTIO_SCHEMA": "ExternalReference.1", **known, "target_url": quote(file)}


def _range(rate: Rate, start: int, duration: int) -> dict[str, Any]:
    return {
        "OTIO_SCHEMA": "TimeRange.1",
        "start_time": _time(rate, start),
        "duration": _time(rate, duration),
    }


def _time(rate: Rate, frame: int) -> dict[str, Any]:
    return {"OTIO_SCHEMA": "RationalTime.1", "rate": float(rate.exact), "value": float(frame)}
