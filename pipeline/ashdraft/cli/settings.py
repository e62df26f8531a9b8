"""The options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Model = Annotated[
    str,
    typer.Option(
        help="Speech model: an installed one (ashdraft models lists them), a folder, or, with "
        "--download, a name on the model hub."
    ),
]
Device = Annotated[str, typer.Option(help="Where the model runs: cpu or cuda.")]
Threads = Annotated[int, typer.Option(help="Processor threads; 0 is one for every core.")]
Force = Annotated[bool, typer.Option("--force", help="Replace files that you have edited.")]
Debug = Annotated[
    bool, typer.Option("--debug", help="Show a traceback when the program itself fails.")
]
Folder = Annotated[
    Path,
    typer.Argument(
        metavar="FOLDER",
        readable=False,  # the reader says what cannot be read, and what to do
        help="What ashdraft write has made: the folder, or its draft.md or notes.json.",
    ),
]
Recordings = Annotated[
    list[Path] | None,
    typer.Option(
        "--recording",
        metavar="FILE",
        help="A recording that has been moved, or the folder it is in; may be given several times.",
    ),
]
