"""The sessions of one folder. A client names a session by an id and never by a path."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ..export.folder import NOTES
from ..output import draft_name
from ..table.log import FILE as TAPS


@dataclass(frozen=True, slots=True)
class Session:
    """One sitting.

    `folder` is what `ashdraft write` made of it or, where `ready` is false, will make.
    `recording` is the folder with its sound where it was recorded here, else None.
    """

    id: str
    name: str
    folder: Path
    recording: Path | None
    ready: bool


@dataclass(frozen=True, slots=True)
class Sessions:
    """Every session in `root`, or the one that `root` itself is."""

    root: Path

    def __iter__(self) -> Iterator[Session]:
        """Sessions in the order of their names, the last first; read anew each time."""
        if (self.root / NOTES).is_file():
            yield _session(self.root.resolve(), None)
            return
        folders = sorted(self._folders(), key=lambda path: path.name, reverse=True)
        recorded = {self.draft_folder(path): path for path in folders if is_recording(path)}
        for path in folders:
            if is_recording(path):
                yield _session(self.draft_folder(path), path)
            elif (path / NOTES).is_file() and path not in recorded:
                yield _session(path, None)

    def find(self, id: str) -> Session | None:
        """The session whose id this is. The id is compared, and is never part of a path."""
        return next((session for session in self if session.id == id), None)

    def draft_folder(self, recording: Path) -> Path:
        """Where the draft of a recording of this folder goes."""
        return recording.with_name(draft_name(recording.name))

    def _folders(self) -> Iterator[Path]:
        if not self.root.is_dir():
            return
        for path in self.root.iterdir():
            if path.is_dir() and not path.name.startswith("."):
                yield path


def is_recording(folder: Path) -> bool:
    """Whether `folder` was made by the table or by `ashdraft record`."""
    return (folder / TAPS).is_file()


def _session(folder: Path, recording: Path | None) -> Session:
    name = (recording or folder).name
    digest = hashlib.sha256(name.encode("utf-8", "surrogateescape")).hexdigest()
    return Session(digest[:16], name, folder, recording, (folder / NOTES).is_file())
