"""`ashdraft clips`: every quote of a draft as a sound file, and the highlights as times."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from . import settings
from .failures import reported


@reported
def clips(
    folder: settings.Folder,
    out: Annotated[
        Path | None, typer.Option(help="Folder to write into; if not given, FOLDER/clips.")
    ] = None,
    loudness: Annotated[
        float | None,
        typer.Option(metavar="LUFS", help="Level every clip: -16 is usual for podcasts."),
    ] = None,
    recording: settings.Recordings = None,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Cut every sentence that stands in the draft out of the recording.

    Also lists the stretches worth showing by themselves, 5 to 30 seconds each: where a new note
    appears, and the verdict.

    \b
    Examples:
      ashdraft clips stick2-draft
      ashdraft clips stick2-draft --loudness -16 --recording raw/stick2.mov
    """
    from ..clips import cut_folder
    from ..export import read_folder
    from ..progress import printable

    done = cut_folder(
        read_folder(folder), out, recordings=recording or (), loudness=loudness, force=force
    )
    print(printable(f"{len(done.quotes)} clips in {done.path}"))
    if done.missed:
        print(f"{done.missed} sentences lie in no recording and have no clip")
    kept = sum(file.beside is not None for file in done.files)
    if kept:
        print(f"{kept} files were edited and are left as they are; the new ones are beside them")
    for one in done.highlights:
        print(f"  {_clock(one.start):>8} to {_clock(one.end + 1):>8}  {printable(one.why)}")


def _clock(seconds: float) -> str:
    from ..export.clock import chapter_time

    return chapter_time(int(seconds))
