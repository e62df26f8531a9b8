"""A finished folder read back: what `ashdraft write` left, for the commands that come after."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ..errors import AshdraftError, InputMissing
from ..model import Notes, Said
from .notes import read_notes
from .words import read_words, with_words

NOTES = "notes.json"
DRAFT = "draft.md"
MADE_BY = "Name the folder that ashdraft write has made, or its draft.md or notes.json."


@dataclass(frozen=True, slots=True)
class Folder:
    """`path` holds `notes`; `said` are its utterances, with word times where they were kept."""

    path: Path
    notes: Notes
    said: tuple[Said, ...]

    @property
    def draft(self) -> Path:
        """Where the draft stands; it may have been moved away."""
        return self.path / DRAFT


def read_folder(path: Path) -> Folder:
    """Read the folder at `path`, or the one that the file `path` (draft, notes) lies in.

    Raises `InputMissing` where there are no notes, `TranscriptDamaged` where they are damaged.
    """
    notes_path = (
        path if path.suffix == ".json" else (path if path.is_dir() else path.parent) / NOTES
    )
    if not path.exists():
        raise InputMissing(f"{path} does not exist.", MADE_BY)
    try:
        text = notes_path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputMissing(f"{notes_path} cannot be read.", MADE_BY) from error
    try:
        notes = read_notes(text)
    except AshdraftError as fault:
        raise type(fault)(f"{notes_path}: {fault.message}", fault.next_step) from None
    folder = notes_path.parent
    return Folder(folder, notes, with_words(notes.reading.utterances, read_words(folder)))
