"""`ashdraft page`: the draft as it stands now, for readers."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from ..errors import InputMissing, UsageError
from . import settings
from .failures import reported


class Kind(StrEnum):
    """The kinds of file a draft is shown as."""

    HTML = "html"
    DOCX = "docx"
    PDF = "pdf"


@reported
def page(
    folder: settings.Folder,
    kind: Annotated[
        Kind, typer.Option("--format", help="html (default), docx or pdf.")
    ] = Kind.HTML,
    clips: Annotated[
        bool, typer.Option("--clips", help="Carry the sound of each sentence in the page.")
    ] = False,
    recording: settings.Recordings = None,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Make draft.html from the draft as it stands now, or a .docx or .pdf.

    The page is one file that loads nothing. Every time plays the recording from there, which is
    linked and not copied; with --clips its sentences travel in the page. Marks, corrections and
    cuts made in draft.md are taken over.

    \b
    Examples:
      ashdraft page stick2-draft
      ashdraft page stick2-draft --recording phone/stick2.m4a
      ashdraft page stick2-draft --clips
      ashdraft page stick2-draft --format docx
    """
    from ..export import read_folder
    from ..output import open_folder
    from ..page import clips_of, draft_docx, draft_pdf, page_html, playable, read_text
    from ..progress import printable

    if clips and kind is not Kind.HTML:
        raise UsageError("--clips needs --format html.", "A page can play; leave one of them out.")
    for file in recording or ():
        if not file.exists():
            raise InputMissing(f"{file} does not exist.", "Check the path after --recording.")
    source = read_folder(folder)
    path = folder if folder.suffix == ".md" else source.draft
    text = read_text(path)
    if kind is Kind.HTML:
        played = playable(source.notes.recordings, source.path, recording or ())
        carried = clips_of(source, recording or ()) if clips else {}
        made: str | bytes = page_html(text, source.notes, played, carried)
    else:
        made = draft_docx(text) if kind is Kind.DOCX else draft_pdf(text)
    with open_folder(source.path, force=force) as out:
        (written,) = out.write({f"{path.stem}.{kind.value}": made})
    kept = f" ({written.beside.name} was edited and is left as it is)" if written.beside else ""
    print(printable(f"{written.path}{kept}"))
