"""`ashdraft chapters`: chapters in every format, and into a copy of the video."""

from __future__ import annotations

import os
from collections.abc import Sequence
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from ..errors import UsageError
from ..model import Recording
from . import settings
from .failures import reported


class Format(StrEnum):
    """What `--format` takes."""

    DESCRIPTION = "description"
    WEBVTT = "webvtt"
    FFMETADATA = "ffmetadata"
    PODCAST = "podcast"
    MATROSKA = "matroska"
    LABELS = "labels"
    EDL = "edl"
    OTIO = "otio"
    ALL = "all"


class Fps(StrEnum):
    """What `--fps` takes."""

    F24 = "24"
    F25 = "25"
    F2997 = "29.97"
    F2997DF = "29.97df"
    F30 = "30"


@reported
def chapters(
    folder: settings.Folder,
    formats: Annotated[
        list[Format] | None,
        typer.Option(
            "--format", help="Kind of file; may be given several times; if not, the description."
        ),
    ] = None,
    starts_at: Annotated[
        str,
        typer.Option(help="Where in the video the recording begins: 1:12. If cut off, -0:30."),
    ] = "0:00",
    keep_gaps: Annotated[
        bool, typer.Option("--keep-gaps", help="The video shows the time between recordings too.")
    ] = False,
    fps: Annotated[Fps, typer.Option(help="Frames per second, for edl and otio.")] = Fps.F25,
    into: Annotated[
        Path | None, typer.Option(help="Video or sound file to make a copy of, with chapters.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="The copy's name; if not given, one beside the file.")
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace the copy if it exists.")] = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Write the chapters of a finished folder in any format.

    Prints the lines for a video description. To rename, move, add or drop chapters edit
    chapters.edit.txt in the folder and type the command again; nothing is recognised anew.

    \b
    Examples:
      ashdraft chapters stick2-draft
      ashdraft chapters stick2-draft --format webvtt --format podcast
      ashdraft chapters stick2-draft --format edl --fps 29.97df --starts-at 00:01:12
      ashdraft chapters stick2-draft --into talk.mp4 --out talk-chapters.mp4
    """
    from .. import chapters as chapter
    from ..export import read_folder
    from ..export.clock import read_time
    from ..output import open_folder
    from ..progress import for_stream

    if out and not into:
        raise UsageError("--out names a copy, and there is none.", "Add --into FILE.")
    try:
        shift = read_time(starts_at)
    except ValueError:
        raise UsageError(f"--starts-at {starts_at!r} is no time.", "Type 1:12, or -0:30.") from None
    asked = {one.value for one in formats or ([] if into else [Format.DESCRIPTION])}
    progress = for_stream()
    source = read_folder(folder)
    recordings = source.notes.recordings
    video = chapter.Video(
        shift,
        keep_gaps,
        _seen_from(source.path, into) if into else None,
        chapter.length_of(into) if into else None,
        chapter.clip_of(into, recordings) if into else None,
    )
    with open_folder(source.path) as folder_out:
        found = chapter.listed(source, folder_out)
        listing = chapter.placed(found, recordings, source.said, video)
        wanted = chapter.FORMATS if Format.ALL in asked else asked
        name = _name(into, source.path, recordings)
        rate = chapter.RATES[fps.value]
        files = chapter.texts(listing, wanted, rate, name, video.file)
        if not folder_out.edited(chapter.FILE):
            files[chapter.FILE] = chapter.to_text(found)
        written = folder_out.write(files)
    for one in written:
        if one.beside:
            progress.note(f"{one.beside.name} was edited and is left as it is.")
        progress.note(f"Written: {one.path}")
    if into:
        copied = chapter.write_into(into, out or chapter.default_copy(into), listing, replace=force)
        for notice in copied.notices:
            progress.note(notice)
        progress.note(f"Written: {copied.path}")
    print(chapter.description(listing).text, end="")


def _seen_from(folder: Path, file: Path) -> str:
    """Return the file's path as seen from the folder; whole where it is on another drive."""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:
        return file.absolute().as_posix()


def _name(into: Path | None, folder: Path, recordings: Sequence[Recording]) -> str:
    """Return what to call the video in an edit list."""
    if into:
        return into.name
    return recordings[0].file if len(recordings) == 1 else folder.resolve().name
