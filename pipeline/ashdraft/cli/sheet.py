"""`ashdraft sheet`: a blank score sheet to print and to fill in with a pencil."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from ..errors import OutputRefused
from . import settings
from .failures import reported

STEM = "score-sheet"


class Paper(StrEnum):
    """The paper a sheet is printed on."""

    A4 = "a4"
    LETTER = "letter"


class Kind(StrEnum):
    """The kinds of file a blank sheet is written as."""

    PDF = "pdf"
    HTML = "html"


@reported
def sheet(
    out: Annotated[Path, typer.Argument(metavar="DIR", help="Folder to write into.")] = Path(),
    sheet: Annotated[
        Path | None, typer.Option(help="Score sheet to print, if not the one that ships.")
    ] = None,
    paper: Annotated[Paper, typer.Option(help="Paper: a4 or letter.")] = Paper.A4,
    kind: Annotated[
        Kind | None, typer.Option("--format", help="Only this kind: pdf or html.")
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Replace a file of that name that is another.")
    ] = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Print a blank score sheet for the table.

    One page in black and white, with boxes for marks, facts and what was tasted in each third.
    Writes score-sheet-a4.pdf and score-sheet-a4.html, the same page twice.

    \b
    Examples:
      ashdraft sheet
      ashdraft sheet --paper letter --format pdf
      ashdraft sheet prints --sheet shelf.toml
    """
    from ..printed import blank_sheet, sheet_html, sheet_pdf
    from ..sheet import load_sheet

    page = blank_sheet(load_sheet(sheet), paper.value)
    for chosen in (kind,) if kind else tuple(Kind):
        data = sheet_pdf(page) if chosen is Kind.PDF else sheet_html(page).encode()
        path = out / f"{STEM}-{paper.value}.{chosen.value}"
        _write(path, data, force=force)
        print(path)


def _write(path: Path, data: bytes, *, force: bool) -> None:
    """Write a file where there is none, or the same one. Raises `OutputRefused`."""
    from ..output import atomic_write

    try:
        if path.exists() and path.read_bytes() != data and not force:
            raise OutputRefused(
                f"{path} is there already and is another file.",
                "Name another folder, or add --force to replace it.",
            )
        path.parent.mkdir(parents=True, exist_ok=True)
        atomic_write(path, data)
    except OSError as fault:
        raise OutputRefused(
            f"{path} cannot be written: {fault.strerror}.", "Name another folder."
        ) from fault
