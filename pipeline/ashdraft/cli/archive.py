"""`ashdraft archive`: sessions kept, listed, shown, removed, exported and checked."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import UsageError
from . import settings
from .archive_find import Archive, AsJson, find
from .failures import reported

archive = typer.Typer(no_args_is_help=True, rich_markup_mode=None)


@archive.callback()
def _archive() -> None:
    """Keep sessions in one file on this machine, and search them.

    \b
    Examples:
      ashdraft archive add stick2-draft
      ashdraft archive find --note cedar --third 3
      ashdraft archive show "Lantern No. 3"
    """


@archive.command()
@reported
def add(
    folders: Annotated[
        list[Path],
        typer.Argument(
            metavar="FOLDER...",
            readable=False,  # reading the folder says what is wrong, and what to do
            help="Folders that ashdraft write made, or their draft.md or notes.json.",
        ),
    ],
    name: Annotated[str | None, typer.Option(help="The cigar's name, if not in the draft.")] = None,
    maker: Annotated[str | None, typer.Option(help="Who makes it, if not in the draft.")] = None,
    archive: Archive = None,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Keep sessions in the archive; all of those named, or none.

    A session that is there already is replaced, and keeps its number: add it again after a
    tally or a new run. It is known by its recordings, so the folder may have moved.

    \b
    Examples:
      ashdraft archive add stick2-draft
      ashdraft archive add reviews/*-draft
      ashdraft archive add stick2-draft --maker Quillon --name "Lantern No. 3"
    """
    from ..archive import add as keep
    from ..archive import default_archive, read_entry
    from .archive_text import kept

    if len(folders) > 1 and (name or maker):
        raise UsageError("--name and --maker are for one folder.", "Add the folders one by one.")
    entries = [read_entry(folder, name=name, maker=maker) for folder in folders]
    print(kept(keep(archive or default_archive(), entries)))


@archive.command("list")
@reported
def list_(
    archive: Archive = None,
    as_json: AsJson = False,
    debug: settings.Debug = False,  # noqa: ARG001
) -> None:
    """List all sessions, the newest first.

    \b
    Examples:
      ashdraft archive list
      ashdraft archive list --json
    """
    from ..archive import default_archive, list_sessions
    from .archive_text import as_document, listed

    sessions = list_sessions(archive or default_archive())
    print(as_document(sessions) if as_json else listed(sessions))


archive.command()(find)


@archive.command()
@reported
def show(
    what: Annotated[
        str, typer.Argument(metavar="SESSION|NAME", help="A session's number, or a cigar's name.")
    ],
    maker: Annotated[
        str | None, typer.Option(help="Only that maker's, where several use the name.")
    ] = None,
    cigar: Annotated[
        bool, typer.Option("--cigar", help="Take a number for a cigar's name.")
    ] = False,
    archive: Archive = None,
    as_json: AsJson = False,
    debug: settings.Debug = False,  # noqa: ARG001
) -> None:
    """Show one session, or all sessions of one cigar over time.

    Capital letters, accents and spaces in a name do not matter.

    \b
    Examples:
      ashdraft archive show 12
      ashdraft archive show "lantern no. 3"
      ashdraft archive show 1871 --cigar
    """
    from ..archive import default_archive, show_cigar, show_session
    from .archive_text import as_document, history, session

    path = archive or default_archive()
    if (number := _number(what)) is not None and not cigar and not maker:
        one = show_session(path, number)
        print(as_document(one) if as_json else session(one))
    else:
        all_of_it = show_cigar(path, what, maker)
        print(as_document(all_of_it) if as_json else history(all_of_it))


@archive.command()
@reported
def remove(
    sessions: Annotated[
        list[str], typer.Argument(metavar="SESSION...", help="Numbers, as list shows them.")
    ],
    archive: Archive = None,
    debug: settings.Debug = False,  # noqa: ARG001
) -> None:
    """Remove sessions from the archive; all of those named, or none.

    No word of them stays in the file. Their folders and recordings are left alone.

    \b
    Examples:
      ashdraft archive remove 12
    """
    from ..archive import default_archive
    from ..archive import remove as take_out
    from .archive_text import removed

    numbers = [_number(text) for text in sessions]
    wanted = [number for number in numbers if number is not None]
    if len(wanted) < len(numbers):
        raise UsageError(
            f"{sessions[numbers.index(None)]!r} is no number of a session.",
            "See which there are: ashdraft archive list",
        )
    print(removed(take_out(archive or default_archive(), wanted)))


@archive.command()
@reported
def export(
    out: Annotated[
        Path, typer.Argument(help="A file ending in .csv or .json, or a folder for notes.json's.")
    ],
    table: Annotated[
        str, typer.Option(help="For .csv: session, descriptor, utterance, sheet_row ...")
    ] = "session",
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there.")] = False,
    archive: Archive = None,
    debug: settings.Debug = False,  # noqa: ARG001
) -> None:
    """Write the archive as CSV, as JSON, or every notes.json as it was.

    \b
    Examples:
      ashdraft archive export sessions.csv
      ashdraft archive export notes.csv --table descriptor
      ashdraft archive export everything.json
      ashdraft archive export kept/
    """
    from ..archive import default_archive, export_csv, export_json, export_notes
    from ..archive.export import write_new

    path = archive or default_archive()
    if out.suffix.lower() == ".csv":
        files = {out: export_csv(path, table).encode("utf-8", "replace")}
    elif out.suffix.lower() == ".json":
        files = {out: export_json(path).encode("utf-8", "replace")}
    elif out.suffix and not out.is_dir():
        raise UsageError(
            f"{out.name} is neither .csv nor .json.",
            "Name a file that ends so, or a folder without a point in its name.",
        )
    else:
        files = {out / name: data for name, data in export_notes(path).items()}
    for file, data in files.items():
        write_new(file, data, force=force)
    print(f"Written: {out}")


@archive.command()
@reported
def check(
    archive: Archive = None,
    debug: settings.Debug = False,  # noqa: ARG001
) -> None:
    """Check that the file is whole and that every session in it is.

    \b
    Examples:
      ashdraft archive check
    """
    from ..archive import check as look
    from ..archive import default_archive
    from ..archive.opened import damaged
    from .archive_text import lines

    path = archive or default_archive()
    if problems := look(path):
        print(lines(problems))
        raise damaged(path)
    print(f"{path} is whole.")


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
