"""The recordings of a session on the disk, as the page plays them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from mimetypes import guess_type
from pathlib import Path

from ..export.sources import places_of
from ..model import Recording
from ..page import Playable
from ..page.media import SOUND

_TYPES = {
    ".aac": "audio/aac", ".flac": "audio/flac", ".m4a": "audio/mp4", ".m4b": "audio/mp4",
    ".mka": "audio/x-matroska", ".mp3": "audio/mpeg", ".oga": "audio/ogg", ".ogg": "audio/ogg",
    ".opus": "audio/ogg", ".wav": "audio/wav", ".weba": "audio/webm",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sound:
    """A recording of the notes and its file; None where it was not found, or is no sound."""

    recording: Recording
    path: Path | None

    @property
    def media_type(self) -> str:
        """The media type of the file (IANA), as browsers know it."""
        suffix = self.path.suffix.lower() if self.path else ""
        return _TYPES.get(suffix) or guess_type(f"x{suffix}")[0] or "application/octet-stream"


def sounds(folder: Path, recordings: Sequence[Recording], more: Path | None) -> tuple[Sound, ...]:
    """Return the recordings in the order of the notes, each looked for by its name alone.

    Places: the session's folder, beside it, where it lay at first, and `more`, where it was
    recorded.
    """
    places = [*places_of(folder), *([more] if more else [])]
    return tuple(Sound(r, _found(r.file, places)) for r in recordings)


def playables(found: Sequence[Sound], base: str) -> tuple[Playable, ...]:
    """Return those that can be played, at addresses below `base`."""
    return tuple(
        Playable(f"{base}/{n}", s.path.name, s.recording.offset, s.recording.duration)
        for n, s in enumerate(found)
        if s.path is not None
    )


def _found(name: str, places: Sequence[Path]) -> Path | None:
    if Path(name).name != name or Path(name).suffix.lower() not in SOUND:
        return None
    return next((place / name for place in places if (place / name).is_file()), None)
