"""The recordings that notes were made from, found again on the disk.

`.ashdraft/places.json` names the folders they lay in, as seen from the folder of the notes.
"""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import InputMissing, UsageError
from ..model import Recording
from ..output import WORK
from ..progress import printable
from .folder import Folder

TRANSCRIPTS = (".vtt", ".srt", ".json")
NAME_IT = "Name it: --recording FILE"
PLACES = "places.json"


@dataclass(frozen=True, slots=True)
class Source:
    """A recording of the notes and the file that holds it."""

    recording: Recording
    path: Path


def sources(folder: Folder, named: Sequence[Path] = ()) -> tuple[Source, ...]:
    """Return the files of all recordings, in the order of the notes.

    A recording is looked for by its name: among `named` (files, or folders that hold it), in the
    folder, beside the folder, and where it lay at first. As many named files as there are
    recordings may have other names; they are taken in their order. Raises `InputMissing` where
    one is not found, and `UsageError` where notes of a transcript leave open what recording that
    was.
    """
    for path in named:
        if not path.exists():
            raise InputMissing(f"{printable(str(path))} does not exist.", NAME_IT)
    recordings = folder.notes.recordings
    known = {path.name: path for path in named if path.is_file()}
    if len(known) == len(recordings) and not {r.file for r in recordings} <= known.keys():
        return tuple(Source(r, p) for r, p in zip(recordings, known.values(), strict=True))
    places = [*(path for path in named if path.is_dir()), *places_of(folder.path)]
    return tuple(Source(r, known.get(r.file) or _found(r, places, folder.path)) for r in recordings)


def places_json(folder: Path, inputs: Sequence[Path]) -> str:
    """Return the text of `places.json` for notes in `folder` that were made from `inputs`.

    Transcripts among them tell of no recording.
    """
    sounds = (path.resolve() for path in inputs if path.suffix.lower() not in TRANSCRIPTS)
    lay = dict.fromkeys(path if path.is_dir() else path.parent for path in sounds)
    return json.dumps([_seen_from(folder.resolve(), place) for place in lay]) + "\n"


def places_of(folder: Path) -> tuple[Path, ...]:
    """Return where the recordings of notes in `folder` may lie, the likeliest first."""
    try:
        kept = json.loads((folder / WORK / PLACES).read_text("utf-8"))
        lay = [folder / place for place in kept if isinstance(place, str)]
    except (OSError, ValueError, TypeError, RecursionError):
        lay = []
    return (folder, folder.resolve().parent, *lay)


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


def _seen_from(folder: Path, place: Path) -> str:
    try:
        return Path(os.path.relpath(place, folder)).as_posix()
    except ValueError:  # on another drive
        return place.as_posix()


def _found(recording: Recording, places: Sequence[Path], folder: Path) -> Path:
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
        f"The recording {recording.file} is neither in {printable(str(folder))} nor beside it, "
        "nor where it was.",
        NAME_IT,
    )
