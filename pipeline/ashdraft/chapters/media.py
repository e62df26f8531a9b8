"""Chapters written into a copy of a recording or video: nothing is decoded or encoded again.

MP4 and Matroska files are put together anew from their packets, MP3 and Ogg files keep every
byte but those of their tag. The copy is compared with the original, packet by packet, before
it takes its name; the original is only read.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import InputMissing, NotMedia, OutputRefused, UsageError
from ..intake.names import shown
from ..output import TEMPORARY
from .entry import Listing

if TYPE_CHECKING:
    from av.container import InputContainer

FORMATS = ("mov", "matroska", "mp3", "ogg")
"""FFmpeg demuxers whose files can hold chapters; no other is opened."""
KINDS = "mp4, m4a, mov, mkv, mka, webm, mp3, ogg and opus"


@dataclass(frozen=True, slots=True)
class Copied:
    """The copy, and what could not be taken over into it."""

    path: Path
    notices: tuple[str, ...] = ()


def default_copy(media: Path) -> Path:
    """Return the name beside `media` for its copy with chapters: `talk.chapters.mp4`."""
    return media.with_name(f"{media.stem}.chapters{media.suffix}")


def length_of(media: Path) -> int:
    """Return a file's length in milliseconds, sound and picture. Raises as `write_into` does."""
    with opened(media) as source:
        if source.duration:
            return int(source.duration // 1000)
        ends = [
            (packet.pts + (packet.duration or 0)) * packet.time_base
            for packet in source.demux()
            if packet.pts is not None and packet.time_base
        ]
    return int(max(ends, default=0) * 1000)


def write_into(media: Path, out: Path, listing: Listing, *, replace: bool = False) -> Copied:
    """Write a copy of `media` that holds the chapters, in place of any it had.

    Raises `InputMissing`, `NotMedia`, `UsageError` (no chapters, or a kind of file that holds
    none) and `OutputRefused`; `out` is then as it was.
    """
    _check(media, out, listing, replace)
    temporary = out.with_name(f".{out.name}{TEMPORARY}")
    try:
        with opened(media) as source:
            name = source.format.name
        if name.startswith(("mov", "matroska")):
            from .remux import remux

            notices = remux(media, temporary, listing)
        else:
            from .tags import tag

            shutil.copyfile(media, temporary)
            tag(temporary, name, listing)
            notices = []
        if not _same_packets(media, temporary):
            raise OutputRefused(
                f"The copy of {shown(media)} did not come out the same and was thrown away.",
                "Write a chapter file for it instead: ashdraft chapters FOLDER --format all",
            )
        with temporary.open("rb") as file:
            os.fsync(file.fileno())
        temporary.replace(out)
    except OSError as fault:  # FFmpeg's own errors are among them
        raise OutputRefused(
            f"{shown(out)} cannot be written: {fault.strerror}.", "Choose another name with --out."
        ) from fault
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
    return Copied(out, tuple(notices))


@contextmanager
def opened(media: Path) -> Iterator[InputContainer]:
    """Open a file of one of `FORMATS`, local content only."""
    import av
    import av.error

    av.logging.set_level(None)  # FFmpeg's own remarks never reach the terminal
    if media.exists() and not media.is_file():
        raise InputMissing(f"{shown(media)} is no file.", "Name a recording or a video.")
    limits = {"format_whitelist": ",".join(FORMATS), "protocol_whitelist": "file"}
    try:
        media.open("rb").close()
        container = av.open(str(media.absolute()), "r", metadata_errors="ignore", options=limits)
    except (av.error.InvalidDataError, av.error.ArgumentError, ValueError) as error:
        raise NotMedia(
            f"{shown(media)} is not a file that can hold chapters.",
            f"Those are {KINDS}; for others there is --format labels.",
        ) from error
    except OSError as error:
        raise InputMissing(
            f"{shown(media)} cannot be read ({error.strerror}).", "Check the path and its rights."
        ) from error
    with container:
        yield container


def _check(media: Path, out: Path, listing: Listing, replace: bool) -> None:
    if not listing.entries:
        raise UsageError(
            f"There are no chapters to write into {shown(media)}.",
            "Check --starts-at, or add some to chapters.edit.txt.",
        )
    if out.suffix.lower() != media.suffix.lower():
        raise UsageError(
            f"{shown(out)} is not the same kind of file as {shown(media)}.",
            f"Give --out a name that ends in {media.suffix or 'nothing'}.",
        )
    if out.exists() and media.exists() and out.samefile(media):
        raise UsageError(
            f"{shown(media)} would be replaced by its copy.", "Give --out another name."
        )
    if out.exists() and not replace:
        raise OutputRefused(
            f"{shown(out)} is there already.", "Add --force to replace it, or change --out."
        )


def _same_packets(media: Path, copy: Path) -> bool:
    """Whether `copy` holds all sound and pictures of `media`, byte for byte, and nothing else.

    Other tracks may be missing, which the writer has told; chapters are left out of this.
    """
    before, after = _digests(media), _digests(copy)
    needed = {track for track in before if track[0] in ("audio", "video")}
    return needed <= set(after) <= set(before)


def _digests(path: Path) -> list[tuple[str, str]]:
    """Return type and SHA-256 of each stream's packets, data tracks left out."""
    import hashlib

    with opened(path) as container:
        sums = {s.index: hashlib.sha256() for s in container.streams if s.type != "data"}
        for packet in container.demux():
            if packet.size and packet.stream.index in sums:
                sums[packet.stream.index].update(bytes(packet))
        return [(container.streams[i].type, total.hexdigest()) for i, total in sums.items()]
