"""Where the recordings of a draft lie, and the address that plays them from a second on."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from ..export.sources import places_of
from ..model import Recording

SOUND = frozenset(
    ".3gp .aac .aif .aiff .amr .avi .caf .flac .m4a .m4b .m4v .mka .mkv .mov .mp2 .mp3 .mp4 .mpg "
    ".mts .oga .ogg .ogv .opus .wav .weba .webm .wma .wmv".split()
)
"""Endings of files that a browser is asked to play; a transcript is none."""


@dataclass(frozen=True, slots=True)
class Clip:
    """A sentence cut out of a recording: the bytes of a sound file, and its media type."""

    data: bytes
    media_type: str


@dataclass(frozen=True, slots=True)
class Playable:
    """A recording as the page plays it: an address relative to the page, and its place.

    `found` tells whether it lies there.
    """

    href: str
    name: str
    offset: float
    duration: float
    found: bool = True

    def at(self, start: float, end: float) -> str:
        """Return the address of a span of the timeline (W3C Media Fragments URI 1.0, 4.2.1)."""
        begin, finish = (max(0.0, t - self.offset) for t in (start, end))
        return f"{self.href}#t={begin:.1f},{max(finish, begin + 0.1):.1f}"


def playable(
    recordings: Sequence[Recording], folder: Path, known: Sequence[Path] = ()
) -> tuple[Playable, ...]:
    """Return those of `recordings` that are sound or video, in their order.

    A recording is looked for by name among `known` (files, or folders that hold it), in `folder`,
    beside it, and where it lay at first; one found nowhere is taken to lie beside the folder.
    With one recording and one known file, the file may have another name.
    """
    places = _places(recordings, folder, known)
    return tuple(
        Playable(
            _address(places.get(r.file), r.file, folder),
            places.get(r.file, Path(r.file)).name,
            r.offset,
            r.duration,
            r.file in places,
        )
        for r in recordings
        if places.get(r.file, Path(r.file)).suffix.lower() in SOUND
    )


def at(recordings: Sequence[Playable], start: float) -> Playable | None:
    """Return the recording in which a second of the timeline lies."""
    return next((r for r in recordings if r.offset <= start < r.offset + r.duration), None)


def _places(
    recordings: Sequence[Recording], folder: Path, known: Sequence[Path]
) -> Mapping[str, Path]:
    names = {r.file for r in recordings}
    if len(names) == 1 and len(known) == 1 and known[0].is_file():
        return dict.fromkeys(names, known[0])
    found: dict[str, Path] = {}
    for path in known:
        files = [path / name for name in names] if path.is_dir() else [path]
        for file in files:
            if file.name in names and file.is_file():
                found.setdefault(file.name, file)
    for name in names:
        for place in places_of(folder):
            if (place / name).is_file():
                found.setdefault(name, place / name)
    return found


def _address(place: Path | None, name: str, folder: Path) -> str:
    """Return a relative address. One beginning with a name could be read as a scheme."""
    try:
        path = Path(os.path.relpath(place.resolve(), folder.resolve())) if place else None
    except ValueError:  # another drive
        path = None
    parts = path.parts if path else ("..", name)
    address = "/".join(quote(part, safe="") for part in parts)
    return address if parts[0] == ".." else f"./{address}"
