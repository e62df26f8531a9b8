"""MP3 and Ogg: chapters in the tag; everything else in the file stays, byte for byte.

mutagen, which does it, is GPL and therefore not installed with Ashdraft itself.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import NotMedia, UsageError
from ..export.clock import vtt_time
from ..intake.names import shown
from .entry import Listing

if TYPE_CHECKING:
    from mutagen.id3 import ID3

CHILDREN = 255
"""A table of contents counts its children in one byte (ID3v2 Chapter Frame Addendum, 3.2)."""
IGNORED = 0xFFFFFFFF
"""A byte offset that says: go by the times (3.1)."""
ORDERED, TOP = 1, 2
COMMENTS = 1000
"""Numbers there are in Vorbis comments (Xiph wiki, Chapter Extension)."""


def tag(path: Path, demuxer: str, listing: Listing) -> None:
    """Write the chapters into the tag of `path`, a file of FFmpeg's `demuxer` mp3 or ogg.

    Raises `UsageError` where mutagen is missing, `NotMedia` where it cannot read the file.
    """
    try:
        import mutagen
    except ModuleNotFoundError:
        raise UsageError(
            "Writing chapters into MP3 and Ogg files takes the package mutagen.",
            "Install it: pip install 'ashdraft[tags]'",
        ) from None
    try:
        if demuxer == "mp3":
            _mp3(path, listing)
        else:
            _ogg(path, listing)
    except mutagen.MutagenError as error:
        raise NotMedia(
            f"The tag of {shown(path)} cannot be read.", "Write a chapter file instead: --format."
        ) from error


def _mp3(path: Path, listing: Listing) -> None:
    from mutagen.id3 import CHAP, ID3, TIT2, Encoding, ID3NoHeaderError

    try:
        frames = ID3(path)
    except ID3NoHeaderError:
        frames = ID3()
    version = 3 if frames.version[:2] == (2, 3) else 4
    encoding = Encoding.UTF16 if version == 3 else Encoding.UTF8
    frames.delall("CHAP")
    frames.delall("CTOC")
    names = _names([s.title for s in listing.spans()], "utf-16" if version == 3 else "utf-8")
    for name, span in zip(names, listing.spans(), strict=True):
        frames.add(
            CHAP(
                element_id=name,
                start_time=span.start,
                end_time=span.end,
                start_offset=IGNORED,
                end_offset=IGNORED,
                sub_frames=[TIT2(encoding=encoding, text=[span.title])],
            )
        )
    _contents(frames, names)
    if version == 3:
        frames.update_to_v23()
    frames.save(path, v2_version=version)


def _names(titles: Sequence[str], codec: str) -> list[str]:
    """Return element ids with which all chapters take the same room.

    mutagen writes the smallest frame first, and of equal ones the first by name; so they stand
    in order also for players that pass the table of contents over.
    """
    sizes = [len(title.encode(codec)) for title in titles]
    return [
        f"chp{number:04}".ljust(7 + max(sizes) - size, "-") for number, size in enumerate(sizes)
    ]


def _contents(frames: ID3, names: list[str]) -> None:
    """Add the table of contents; where it is too long, one of several parts."""
    from mutagen.id3 import CTOC

    parts = [names[i : i + CHILDREN] for i in range(0, len(names), CHILDREN)]
    if len(parts) > 1:
        for number, part in enumerate(parts):
            frames.add(CTOC(element_id=f"toc{number}", flags=ORDERED, child_element_ids=part))
        names = [f"toc{number}" for number in range(len(parts))]
    frames.add(CTOC(element_id="toc", flags=TOP | ORDERED, child_element_ids=names))


def _ogg(path: Path, listing: Listing) -> None:
    import mutagen

    if len(listing.entries) >= COMMENTS:
        raise UsageError(f"An Ogg file holds fewer than {COMMENTS} chapters.", "Take some out.")
    file: Any = mutagen.File(path)
    with path.open("rb") as start:
        known = start.read(4) == b"OggS"
    if file is None or not known:
        raise NotMedia(f"{shown(path)} holds nothing that takes chapters.", "Use --format.")
    if file.tags is None:
        file.add_tags()
    for key in {key for key, _ in file.tags}:
        if re.fullmatch(r"CHAPTER\d{3}(NAME|URL)?", key, re.IGNORECASE):
            del file.tags[key]
    for number, entry in enumerate(listing.entries, 1):
        file.tags[f"CHAPTER{number:03}"] = vtt_time(entry.start)
        file.tags[f"CHAPTER{number:03}NAME"] = entry.title
    file.save()
