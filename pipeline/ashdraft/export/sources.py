"""The recordings that notes were made from, found again on the disk."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import InputMissing, UsageError
from ..model import Recording
from ..progress import printable
from .folder import Folder

TRANSCRIPTS = (".vtt", ".srt", ".json")
NAME_IT = "Name it: --recording FILE"


@dataclass(frozen=True, slots=True)
class Source:
    """A recording of the notes and the file that holds it."""

    recording: Recording
    path: Path


def sources(folder: Folder, named: Sequence[Path] = ()) -> tuple[Source, ...]:
    """Return the files of all recordings, in the order of the notes.

    A recording is looked for by its name: among `named` (files, or folders that hold it), in the
    folder, and beside the folder. As many named files as there are recordings may have other
    names; they are taken in their order. Raises `InputMissing` where one is not found, and
    `UsageError` where notes of a transcript leave open what recording that was.
    """
    for path in named:
        if not path.exists():
            raise InputMissing(f"{printable(str(path))} does not exist.", NAME_IT)
    recordings = folder.notes.recordings
    known = {path.name: path for path in named if path.is_file()}
    if len(known) == len(recordings) and not {r.file for r in recordings} <= known.keys():
        return tuple(Source(r, p) for r, p in zip(recordings, known.values(), strict=True))
    places = [*(path for path in named if path.is_dir()), folder.path, folder.path.resolve().parent]
    return tuple(Source(r, known.get(r.file) or _found(r, places)) for r in recordings)


def at(found: Sequence[Source], second: float) -> Source | None:
    """Return the recording in which a second of the joined timeline lies."""
    return next(
        (
            s
            for s in found
            if s.recording.offset <= second < s.recording.offset + s.recording.duration
        ),
        None,
    )


def _found(recording: Recording, places: Sequence[Path]) -> Path:
    if recording.file.lower().endswith(TRANSCRIPTS):
        raise UsageError(
            f"These notes were made from a transcript, {recording.file}, and name no recording.",
            NAME_IT,
        )
    for place in places:
        path = place / recording.file
        if path.is_file():
            return path
    raise InputMissing(
        f"The recording {recording.file} is neither in {printable(str(places[-2]))} nor beside it.",
        NAME_IT,
    )
