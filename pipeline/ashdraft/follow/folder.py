"""A folder for the cut, beside that of the recording, in which every other command works."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from .. import captions, chapters
from ..errors import UsageError
from ..export import Folder, notes_json, said_json
from ..export.sources import PLACES, places_json, sources
from ..export.words import FILE as SAID
from ..model import Chapter
from ..output import WORK, OutputFolder, Written, open_folder
from ..page import page_html, playable, read_text
from ..progress import Progress
from .cut import Cut, follow
from .draft import draft_of_cut
from .moved import Heard, heard_in, left_out
from .notes import notes_of_cut
from .report import cut_json, cut_txt

KEPT = ("sheet-*.toml", "withheld-*.json")
"""What the draft needs of its folder's `.ashdraft`: its sheet, and what it withholds if blind."""


@dataclass(frozen=True, slots=True)
class Followed:
    """What was found and written; `gone` counts the utterances that did not make the cut."""

    path: Path
    cut: Cut
    heard: tuple[Heard, ...]
    gone: int
    files: tuple[Written, ...]
    problem: str | None


def default_out(video: Path) -> Path:
    """Return the folder beside the video and named after it: `talk.mp4` gives `talk-cut`."""
    return video.resolve().parent / f"{video.stem}-cut"


def follow_folder(
    folder: Folder,
    video: Path,
    out: Path | None = None,
    *,
    recordings: Sequence[Path] = (),
    force: bool = False,
    progress: Progress | None = None,
) -> Followed:
    """Match `video` with the recordings of `folder` and write its chapters, captions and times.

    Raises the errors of ashdraft.errors, among them those of `sources` and `follow`.
    """
    path = out or default_out(video)
    if path.resolve() == folder.path.resolve():
        raise UsageError(
            f"{path} holds the notes of the recording, which are needed as they are.",
            "Choose another folder with --out FOLDER",
        )
    listing = _chapters(folder)
    draft = read_text(folder.draft) if folder.draft.is_file() else None
    cut = follow(sources(folder, recordings), video, progress)
    heard = heard_in(cut, folder.said)
    notes = notes_of_cut(folder.notes, cut, heard, listing)
    said = [one.said for one in heard]
    cues = captions.cues(said)
    texts: dict[str, str | bytes] = {}
    if draft is not None:
        moved = draft_of_cut(draft, folder.notes, cut, heard)
        played = playable(notes.recordings, path, [video])
        texts = {"draft.md": moved, "draft.html": page_html(moved, notes, played)}
    with open_folder(path, force=force) as target:
        kept = not force and target.edited(chapters.FILE)
        listed, problem = chapters.first_files(notes, said, kept=kept)
        target.keep(SAID, said_json(said))
        target.keep(PLACES, places_json(path, [video]))
        _keep(folder, target)
        files = target.write(
            {
                "cut.txt": cut_txt(folder.notes, cut, heard, folder.said),
                "cut.json": cut_json(folder.notes, cut, heard, folder.said),
                **texts,
                "notes.json": notes_json(notes),
                "captions.vtt": captions.vtt(cues),
                "captions.srt": captions.srt(cues),
                **listed,
            }
        )
    return Followed(path, cut, heard, len(left_out(heard, folder.said)), files, problem)


def _chapters(folder: Folder) -> tuple[Chapter, ...]:
    """Return the chapters of the recording, as its list says where that was edited.

    Raises `DataDamaged` where the list has a mistake.
    """
    known = sorted(folder.notes.reading.chapters, key=lambda c: c.start)
    path = folder.path / chapters.FILE
    if not known or not path.is_file():
        return tuple(known)
    edited = []
    for entry in chapters.read_list(path):
        start = entry.start / 1000
        like = [c for c in known if c.start <= start + 1.0][-1:] or known[:1]
        edited.append(Chapter(start, entry.title, like[0].section, like[0].third))
    return tuple(edited)


def _keep(folder: Folder, target: OutputFolder) -> None:
    for pattern in KEPT:
        for path in sorted((folder.path / WORK).glob(pattern)):
            target.keep(path.name, path.read_text("utf-8", "replace"))
