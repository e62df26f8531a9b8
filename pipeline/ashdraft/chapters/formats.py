"""Chapter files for players, podcasts and audio editors. Every function returns text.

Times are whole milliseconds before any field is made of them, so that 59.9996 s cannot become
`60.000`.
"""

from __future__ import annotations

import json
import re
from xml.sax.saxutils import escape

from ..export.clock import vtt_time
from .entry import Listing

PODCAST_VERSION = "1.2.0"
"""podcastindex-org/podcast-namespace, JSON Chapters Format."""
LANGUAGE = "und"
_SPECIAL = re.compile(r"[=;#\\\n]")


def webvtt(listing: Listing) -> str:
    """Return a WebVTT chapter file (W3C WebVTT, chapter cues): text and references, no tags."""
    cues = (
        f"\n{vtt_time(s.start)} --> {vtt_time(s.end)}\n{escape(s.title)}\n" for s in listing.spans()
    )
    return "WEBVTT\n" + "".join(cues)


def ffmetadata(listing: Listing) -> str:
    """Return FFMETADATA1 (FFmpeg, metadata.texi).

    The unit is written out: without it newer versions read nanoseconds.
    """
    chapters = (
        f"\n[CHAPTER]\nTIMEBASE=1/1000\nSTART={s.start}\nEND={s.end}\ntitle={_value(s.title)}\n"
        for s in listing.spans()
    )
    return ";FFMETADATA1\n" + "".join(chapters)


def podcast(listing: Listing) -> str:
    """Return Podcasting 2.0 JSON chapters; `startTime` and `endTime` in seconds."""
    rows = [
        {"startTime": s.start / 1000, "endTime": s.end / 1000, "title": s.title}
        for s in listing.spans()
    ]
    document = {"version": PODCAST_VERSION, "chapters": rows}
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def matroska(listing: Listing) -> str:
    """Return chapters as mkvmerge reads them (mkvtoolnix, matroskachapters.dtd)."""
    atoms = "".join(
        "    <ChapterAtom>\n"
        f"      <ChapterTimeStart>{vtt_time(s.start)}</ChapterTimeStart>\n"
        f"      <ChapterTimeEnd>{vtt_time(s.end)}</ChapterTimeEnd>\n"
        "      <ChapterDisplay>\n"
        f"        <ChapterString>{escape(s.title)}</ChapterString>\n"
        f"        <ChapterLanguage>{LANGUAGE}</ChapterLanguage>\n"
        "      </ChapterDisplay>\n"
        "    </ChapterAtom>\n"
        for s in listing.spans()
    )
    edition = f"  <EditionEntry>\n{atoms}  </EditionEntry>\n" if atoms else ""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<!DOCTYPE Chapters SYSTEM "matroskachapters.dtd">\n'
        f"<Chapters>\n{edition}</Chapters>\n"
    )


def labels(listing: Listing) -> str:
    """Return a label track as audio editors import it: start, end and title, tab-separated.

    Seconds with six decimals, as such editors write them (common practice, no source).
    """
    return "".join(
        f"{s.start / 1000:.6f}\t{s.end / 1000:.6f}\t{s.title}\n" for s in listing.spans()
    )


def _value(title: str) -> str:
    """Return an FFMETADATA value. FFmpeg reads a backslash at the line's end as one that escapes
    the line end, itself escaped or not, so a blank follows it."""
    escaped = _SPECIAL.sub(lambda match: f"\\{match.group()}", title)
    return f"{escaped} " if escaped.endswith("\\") else escaped
