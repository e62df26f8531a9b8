"""A folder for the cut, beside that of the recording, in which every other command works."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from .. import captions, chapters
from ..assemble.times import with_times
from ..errors import UsageError
from ..export import Folder, notes_json, said_json
from ..export.sources import sources
from ..export.words import FILE as SAID
from ..model import Chapter
from ..output import Written, open_folder
from ..progress import Progress
from .cut import Cut, follow
from .moved import Heard, heard_in, left_out
from .notes import notes_of_cut
from .report import cut_json, cut_txt


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
    cut = follow(sources(folder, recordings), video, progress)
    heard = heard_in(cut, folder.said)
    notes = notes_of_cut(folder.notes, cut, heard, _chapters(folder))
    said = [one.said for one in heard]
    cues = captions.cues(said)
    texts: dict[str, str | bytes] = {}
    if folder.draft.is_file():
        spans = {h.origin: (h.said.start, h.said.end) for h in heard if h.said.id == h.origin}
        texts["draft.md"] = with_times(folder.draft.read_text("utf-8"), spans)
    with open_folder(path, force=force) as target:
        kept = not force and target.edited(chapters.FILE)
        listed, problem = chapters.first_files(notes, said, kept=kept)
        target.keep(SAID, said_json(said))
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
    """Return the chapters of the recording, as its list says where that was edited."""
    known = sorted(folder.notes.reading.chapters, key=lambda c: c.start)
    path = folder.path / chapters.FILE
    if not known or not path.is_file():
        return tuple(known)
    edited = []
    for entry in chapters.from_text(path.read_text("utf-8")):
        start = entry.start / 1000
        like = [c for c in known if c.start <= start + 1.0][-1:] or known[:1]
        edited.append(Chapter(start, entry.title, like[0].section, like[0].third))
    return tuple(edited)
