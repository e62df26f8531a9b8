"""Notes out as files and back: `notes.json` and the kept word times."""

from .folder import Folder, read_folder
from .notes import notes_json, read_notes
from .schema import NotesInvalid, schema, validate
from .words import read_words, said_json, with_words

__all__ = [
    "Folder",
    "NotesInvalid",
    "notes_json",
    "read_folder",
    "read_notes",
    "read_words",
    "said_json",
    "schema",
    "validate",
    "with_words",
]
