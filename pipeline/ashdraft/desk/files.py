"""The files of a session after a change: the draft at once, what is made of the notes after it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from .. import captions, chapters
from ..assemble import draft
from ..errors import AshdraftError
from ..export import notes_json, read_notes, said_json
from ..export.folder import DRAFT, NOTES
from ..export.words import FILE as SAID
from ..model import MarkedSheet, Notes, Said
from ..output import WORK, atomic_write, open_folder
from ..page import page_html, playable
from ..sheet import fill
from ..sheet.definition import SheetDefinition
from ..sheet.keep import kept_sheet
from ..tally.front import read_front
from ..tally.text import Text
from ..tally.text import read as read_text
from .marks import carried


@dataclass(frozen=True, slots=True)
class Draft:
    """A draft as it was written: its text, and its file, which is not `draft.md` where that
    was edited by hand."""

    text: str
    file: str

    @property
    def edited(self) -> bool:
        """Whether `draft.md` was edited by hand and left alone."""
        return self.file != DRAFT


def current(folder: Path, file: str = DRAFT) -> Text | None:
    """Return a draft as it stands; None where it is missing. Raises `DataDamaged`."""
    try:
        return read_text(file, (folder / file).read_bytes())
    except FileNotFoundError:
        return None


def sheet_of(folder: Path, text: Text | None) -> SheetDefinition:
    """Return the sheet that a draft was written with. Raises `InputMissing`, `DataDamaged`."""
    return kept_sheet(None, read_front(text).get("sheet") if text else None, folder / WORK)


def assembled(notes: Notes, definition: SheetDefinition, *, caution: bool) -> str:
    """Return the draft of notes as `ashdraft write` assembles it."""
    return draft(notes, fill(definition, notes.reading), caution=caution)


def write_draft(
    folder: Path, fresh: str, before: Callable[[], str], definition: SheetDefinition
) -> Draft:
    """Write a draft that was assembled anew; `before` assembles that before the change.

    Marks that were typed into `draft.md`, and its tally, are carried over. A `draft.md` that was
    edited in any other way is left alone, and the new draft goes beside it. Raises
    `OutputRefused`.
    """
    with open_folder(folder) as out:
        then = current(folder)
        if then is None or not out.edited(DRAFT):
            (written,) = out.write({DRAFT: fresh})
            return Draft(fresh, written.path.name)
        text = _with_marks(fresh, then, before(), definition)
        if text is None:
            (written,) = out.write({DRAFT: fresh})
            return Draft(fresh, written.path.name)
        _replace(folder / DRAFT, text)
        return Draft(text, DRAFT)


def write_rest(folder: Path, notes: Notes, said: tuple[Said, ...], text: str) -> None:
    """Write the notes, the page, the captions and the chapters. Raises `OutputRefused`."""
    cues = captions.cues(said)
    sheet = _sheet(folder)
    made = notes_json(replace(notes, sheet=sheet))
    with open_folder(folder) as out:
        listed, _ = chapters.first_files(notes, said, kept=out.edited(chapters.FILE))
        out.keep(SAID, said_json(said))
        files = {
            "draft.html": page_html(text, notes, playable(notes.recordings, folder)),
            "captions.vtt": captions.vtt(cues),
            "captions.srt": captions.srt(cues),
            **listed,
        }
        if sheet is None:
            out.write({**files, NOTES: made})
        else:
            out.write(files)
            _replace(folder / NOTES, made)


def _with_marks(fresh: str, then: Text, before: str, definition: SheetDefinition) -> str | None:
    """Return the fresh draft with the marks of `then`; None where more than those was edited."""
    try:
        old = read_text(DRAFT, before.encode())
        if carried(old, then, old, definition).data != then.data:
            return None
        new = read_text(DRAFT, fresh.encode())
        return carried(new, then, old, definition).data.decode()
    except AshdraftError:
        return None


def _sheet(folder: Path) -> MarkedSheet | None:
    """Return what a tally put into the notes, which no change at the desk takes out."""
    try:
        return read_notes((folder / NOTES).read_text("utf-8")).sheet
    except (OSError, ValueError, AshdraftError):
        return None


def _replace(path: Path, text: str) -> None:
    """Write a file that holds what the reviewer typed: it goes on counting as edited by them."""
    data = text.encode()
    if path.read_bytes() != data:
        atomic_write(path.resolve(), data)
