"""`ashdraft record`: a session from this computer's microphone."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from ..errors import OutputRefused
from ..progress import printable
from . import settings
from .failures import reported


@reported
def record(
    folder: Annotated[
        Path | None,
        typer.Argument(help="Folder for the recording; if not given, one here named by the time."),
    ] = None,
    device: Annotated[
        str | None, typer.Option(help="The microphone: part of its name, or its number.")
    ] = None,
    devices: Annotated[bool, typer.Option("--devices", help="List microphones and stop.")] = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Record notes at the table, with single keys for what happens to the cigar.

    Sound is stored in pieces of at most ten seconds, so that little is lost whatever happens.
    `ashdraft write FOLDER` then makes the draft.

    \b
    Examples:
      ashdraft record
      ashdraft record tuesday
      ashdraft record --devices
      ashdraft record --device "USB"
    """
    from ..table import put_together
    from ..table.keys import keys
    from ..table.microphone import Microphone, names
    from ..table.recorder import Recorder
    from ..table.terminal import HELP, Terminal

    if devices:
        print("\n".join(printable(name) for name in names()))
        return
    folder = Path(f"{datetime.now():%Y-%m-%d %H.%M}") if folder is None else folder
    recorder = Recorder(folder, Microphone(device))
    if folder.exists() and any(folder.iterdir()):
        raise OutputRefused(f"{folder} holds files already.", "Name another folder.")
    try:
        recorder.start()
    except OSError as error:
        raise OutputRefused(
            f"{folder} cannot be written ({error.strerror}).", "Name another folder."
        ) from error
    print(HELP, file=sys.stderr)
    terminal = Terminal(recorder)
    interrupted = False
    try:
        with keys() as pressed:
            while not terminal.ended:
                recorder.step()
                terminal.press(pressed())
                terminal.show()
    except KeyboardInterrupt:
        interrupted = True
    print(file=sys.stderr)
    try:
        recorder.stop()
    except OSError:
        raise OutputRefused(
            "The last seconds could not be written.", f"All before is in {folder}."
        ) from None
    if not interrupted:  # after Ctrl-C there is a second at most
        put_together([folder])
    print(printable(f'Recorded in {folder}. For the draft type: ashdraft write "{folder}"'))
