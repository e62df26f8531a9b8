"""Notes out as files: `notes.json`, captions and chapter lines. Every function returns text."""

from .captions import captions_srt, captions_vtt
from .chapters import ChapterText, chapters_txt
from .notes import notes_json, read_notes
from .schema import NotesInvalid, schema, validate

__all__ = [
    "ChapterText",
    "NotesInvalid",
    "captions_srt",
    "captions_vtt",
    "chapters_txt",
    "notes_json",
    "read_notes",
    "schema",
    "validate",
]
