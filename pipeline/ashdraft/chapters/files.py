"""The chapters of a folder: read, laid onto a video's time, and turned into files."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from ..export import Folder
from ..export.clock import milliseconds
from ..model import Notes, Recording, Said
from ..output import OutputFolder
from . import edited, formats
from .breath import entries
from .description import description
from .editing import edl, otio
from .entry import Entry, Listing
from .timecode import Rate
from .video import closed, gap_time, on_video

DESCRIPTION = "chapters.txt"
PLAIN: Mapping[str, tuple[str, Callable[[Listing], str]]] = {
    "webvtt": ("chapters.vtt", formats.webvtt),
    "ffmetadata": ("chapters.ffmetadata", formats.ffmetadata),
    "podcast": ("chapters.json", formats.podcast),
    "matroska": ("chapters.xml", formats.matroska),
    "labels": ("chapters.labels.txt", formats.labels),
}
FORMATS = ("description", *PLAIN, "edl", "otio")


@dataclass(frozen=True, slots=True)
class Video:
    """The video that chapters are for.

    `starts_at`: where in it the recording begins, in milliseconds, negative where the beginning
    was cut off. `gaps`: it shows the time between recordings too. `file` and `length` (ms): what
    is known of it. `clip`: the one of several recordings that it is.
    """

    starts_at: int = 0
    gaps: bool = False
    file: str | None = None
    length: int | None = None
    clip: Recording | None = None


def listed(folder: Folder, out: OutputFolder) -> tuple[Entry, ...]:
    """Return the list as the user edited it, else the chapters of the notes.

    Raises `DataDamaged` where the edited list has a mistake.
    """
    if not out.edited(edited.FILE):
        return entries(folder.notes.reading.chapters, folder.said, folder.notes.recordings)
    return edited.read(folder.path / edited.FILE)


def placed(
    found: Sequence[Entry], recordings: Sequence[Recording], said: Sequence[Said], video: Video
) -> Listing:
    """Return the chapters on the video's time."""
    if video.clip:
        shift = video.starts_at - milliseconds(video.clip.offset)
        return on_video(found, shift, video.length or milliseconds(video.clip.duration))
    ends = [r.offset + r.duration for r in recordings]
    end = milliseconds(max([*ends, *(one.end for one in said)], default=0.0))
    if not video.gaps:
        found, end = closed(found, recordings), end - gap_time(recordings)
    length = max(0, end + video.starts_at) if video.length is None else video.length
    return on_video(found, video.starts_at, length)


def texts(
    listing: Listing, wanted: Iterable[str], rate: Rate, name: str, file: str | None = None
) -> dict[str, str]:
    """Return file names and texts in the order of `FORMATS`; `wanted` are some of those."""
    asked = set(wanted)
    made = {DESCRIPTION: description(listing).text} if "description" in asked else {}
    made |= {path: write(listing) for key, (path, write) in PLAIN.items() if key in asked}
    if "edl" in asked:
        made["chapters.edl"] = edl(listing, rate, name)
    if "otio" in asked:
        made["chapters.otio"] = otio(listing, rate, name, file)
    return made


def first_files(
    notes: Notes, said: Sequence[Said], *, kept: bool = False
) -> tuple[dict[str, str], str | None]:
    """Return what `ashdraft write` leaves: the description, and the list to edit.

    Where an edited list is `kept`, the description is its affair and not made anew. The second
    value says why there is no description where there can be none.
    """
    found = entries(notes.reading.chapters, said, notes.recordings)
    made = description(placed(found, notes.recordings, said, Video()))
    files = {edited.FILE: edited.to_text(found)}
    return (files, None) if kept else ({DESCRIPTION: made.text, **files}, made.problem)


def clip_of(media: Path, recordings: Sequence[Recording]) -> Recording | None:
    """Return the one of several recordings that `media` is, by its SHA-256.

    Raises `InputMissing` where it cannot be read.
    """
    from ..intake.digest import sha256_of

    if len(recordings) < 2:
        return None
    total = sha256_of(media)
    return next((r for r in recordings if r.sha256 == total), None)
