"""`ashdraft demo`: the whole chain on a recording that comes with the program."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Annotated

import typer

from ..errors import InputMissing
from ..options import Options
from . import settings
from .failures import reported
from .run import run


@reported
def demo(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder to write into.")] = Path(
        "ashdraft-demo"
    ),
    model: settings.Model = "base",
    device: settings.Device = "cpu",
    threads: settings.Threads = 0,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Write the draft of a bundled recording.

    The cigar is invented and a synthetic voice speaks the notes.

    \b
    Examples:
      ashdraft demo
      ashdraft demo my-first-draft
    """
    run(
        Options(
            inputs=(sample(),), out=folder, model=model, device=device, threads=threads, force=force
        )
    )


def sample() -> Path:
    """Return the bundled recording. Raises `InputMissing` where it is not installed."""
    try:
        path: Path = import_module("ashdraft_samples").demo_recording()
    except ModuleNotFoundError:
        raise InputMissing(
            "The sample recording is not installed.",
            "Use a recording of your own: ashdraft write RECORDING",
        ) from None
    return path
