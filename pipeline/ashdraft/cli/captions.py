"""`ashdraft captions`: the captions of a finished folder once more, otherwise."""

from __future__ import annotations

from typing import Annotated

import typer

from ..errors import UsageError
from . import settings
from .failures import reported


@reported
def captions(
    folder: settings.Folder,
    verbatim: Annotated[
        bool, typer.Option("--verbatim", help="Show every word that was said, as it was said.")
    ] = False,
    no_asides: Annotated[
        bool, typer.Option("--no-asides", help="Leave out greetings, the dog, the telephone.")
    ] = False,
    pauses: Annotated[
        float | None,
        typer.Option(metavar="SECONDS", help="Show a line in pauses of at least so many seconds."),
    ] = None,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Make captions.vtt and captions.srt of a finished folder again.

    Nothing is recognised anew: the words and their times are those that ashdraft write kept.

    \b
    Examples:
      ashdraft captions stick2-draft --no-asides
      ashdraft captions stick2-draft --verbatim --pauses 20
    """
    from .. import captions as made
    from ..export import read_folder
    from ..output import open_folder
    from ..progress import printable

    if pauses is not None and not made.SHORTEST_PAUSE <= pauses <= 86_400:
        raise UsageError(
            f"--pauses cannot be {pauses:g}.",
            f"Type seconds, {made.SHORTEST_PAUSE:g} or more: --pauses 20",
        )
    source = read_folder(folder)
    sections = {u.id: u.section for u in source.notes.reading.utterances}
    shown = made.Shown(asides=not no_asides, pauses=pauses)
    cues = made.cues(made.lines_to_show(source.said, sections, shown), verbatim=verbatim)
    with open_folder(source.path, force=force) as out:
        files = out.write({"captions.vtt": made.vtt(cues), "captions.srt": made.srt(cues)})
    for file in files:
        kept = f" ({file.beside.name} was edited and is left as it is)" if file.beside else ""
        print(printable(f"{len(cues)} captions in {file.path}{kept}"))
