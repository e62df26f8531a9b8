"""`ashdraft follow`: chapters, captions and times for the finished video."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from . import settings
from .failures import reported

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..follow import Followed, Unknown

MOST = 5


@reported
def follow(
    folder: settings.Folder,
    video: Annotated[
        Path,
        typer.Argument(metavar="VIDEO", readable=False, help="The finished video, or its sound."),
    ],
    out: Annotated[
        Path | None, typer.Option(help="Folder to write into; if not given, one beside VIDEO.")
    ] = None,
    recording: settings.Recordings = None,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Move chapters, captions and times onto the finished video.

    The video may be shorter than the recording, in another order, and have music under it: every
    stretch is found again by its sound. The new folder works like any other.

    \b
    Examples:
      ashdraft follow stick2-draft stick2-final.mp4
      ashdraft follow stick2-draft final.mp4 --recording raw/clip1.mov --recording raw/clip2.mov
    """
    from ..export import read_folder
    from ..follow import follow_folder
    from ..progress import for_stream, printable

    progress = for_stream()
    try:
        done = follow_folder(
            read_folder(folder),
            video,
            out,
            recordings=recording or (),
            force=force,
            progress=progress,
        )
    finally:
        progress.finish()
    if done.problem:
        progress.note(done.problem)
    print("\n".join(printable(line) for line in _summary(done)))


def _summary(done: Followed) -> list[str]:
    from .summary import clock

    cut = done.cut
    known = sum(p.end - p.start for p in cut.passages)
    passages = f"{len(cut.passages)} passage{'s' * (len(cut.passages) != 1)}"
    return [
        f"Video       {cut.video.file}, {clock(cut.video.duration)}",
        f"Found       {clock(known)} of it, in {passages}",
        f"Not found   {_places(cut.unknown)}",
        f"Sentences   {len(done.heard)} in the video; {done.gone} did not make it",
        f"Open next   {done.files[0].path}",
        *(
            f"Kept        {f.beside.name} was edited; the new one is {f.path.name}"
            for f in done.files
            if f.beside
        ),
    ]


def _places(unknown: Sequence[Unknown]) -> str:
    """Return the first few places; those that may only be music over a pause come last."""
    from ..export.clock import chapter_time

    rows = [
        f"{chapter_time(int(s.start))} to {chapter_time(int(s.end))}"
        + (" (music over a pause?)" if s.pause else "")
        for s in sorted(unknown, key=lambda s: (s.pause, s.start))
    ]
    more = f" and {len(rows) - MOST} more" if len(rows) > MOST else ""
    return (", ".join(rows[:MOST]) or "nothing") + more
