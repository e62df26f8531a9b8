"""Chapters and captions to look at, and the files of a session to take away."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .. import captions, chapters
from ..assemble.times import clock
from ..export import Folder
from ..export.folder import DRAFT, NOTES
from ..output import open_folder
from ..page import draft_docx, draft_pdf
from .journal import FILE as JOURNAL
from .opened import Desk

TYPES: Mapping[str, str] = {
    ".md": "text/markdown", ".html": "text/html", ".json": "application/json",
    ".vtt": "text/vtt", ".srt": "application/x-subrip", ".txt": "text/plain",
    ".jsonl": "application/jsonl", ".pdf": "application/pdf",
    ".docx": "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
}  # fmt: skip
FILES: Mapping[str, str] = {
    DRAFT: "the draft, as text",
    "draft.new.md": "the new draft beside the one edited by hand",
    "draft.html": "the draft as a page, best kept beside the recording",
    NOTES: "everything understood, for other programs",
    "captions.vtt": "captions, WebVTT",
    "captions.srt": "captions, SubRip",
    chapters.FILE: "the list of chapters, to be edited",
    "chapters.txt": "chapters for a video’s description",
    JOURNAL: "the changes made here",
}
"""The files that may be taken away, and what they are."""
_BESIDE = re.compile(r"draft\.new\d*\.md")
MADE: Mapping[str, Callable[[str], bytes]] = {"draft.docx": draft_docx, "draft.pdf": draft_pdf}
"""Files that are made of the draft when they are asked for."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A chapter or a caption: seconds, the clock, and its text."""

    start: float
    end: float
    clock: str
    text: str


def overview(desk: Desk) -> Mapping[str, Any]:
    """Return what the page shows, after every file was written. Raises `OutputRefused`."""
    desk.settle()
    notes = desk.applied.notes
    said = desk.words.timed(notes.reading.utterances)
    with open_folder(desk.folder) as out:
        listed = chapters.listed(Folder(desk.folder, notes, said), out)
        edited = out.edited(chapters.FILE)
    return {
        "chapters": [_timed(entry.start, entry.start, entry.title) for entry in listed],
        "chapters_edited": edited,
        "cues": [_timed(cue.start, cue.end, "\n".join(cue.lines)) for cue in captions.cues(said)],
        "files": [
            (name, words, (desk.folder / name).stat().st_size)
            for name, words in FILES.items()
            if (desk.folder / name).is_file()
        ],
        "made": list(MADE),
        "draft_edited": desk.draft().edited,
    }


def file_of(desk: Desk, name: str) -> Path | bytes | None:
    """Return a file by its name, one that is made now as bytes; None for any other name."""
    if name in MADE:
        return MADE[name](desk.draft().text)
    path = desk.folder / name
    known = name in FILES or _BESIDE.fullmatch(name)
    return path if known and path.is_file() else None


def _timed(start: int, end: int, text: str) -> Timed:
    """Return a piece of text whose times are in milliseconds."""
    return Timed(start / 1000, end / 1000, clock(start / 1000), text)
