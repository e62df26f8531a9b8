"""A new reading meets the changes that were made at the desk before it."""

from __future__ import annotations

from ..model import Notes, Said
from ..output import OutputFolder
from .journal import applied, read_journal
from .kept import FILE, Kept, kept_json
from .settled import FILE as SETTLED
from .settled import Settled, text_of
from .words import Words


def taken_up(
    folder: OutputFolder, notes: Notes, said: tuple[Said, ...], *, caution: bool, blind: bool
) -> tuple[Notes, tuple[Said, ...]]:
    """Keep a new reading for the desk, and return it with the changes of the journal in it."""
    folder.keep(FILE, kept_json(Kept(notes, said, caution, blind)))
    journal = read_journal(folder.path)
    folder.keep(SETTLED, text_of(Settled(len(journal), len(journal))))
    if not journal:
        return notes, said
    made = applied(notes, journal).notes
    return made, Words(said).timed(made.reading.utterances)
