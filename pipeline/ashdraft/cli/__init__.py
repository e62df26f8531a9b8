"""The `ashdraft` command."""

from __future__ import annotations

import os
import sys
from io import TextIOWrapper

import typer

from .. import __version__
from .archive import archive
from .captions import captions
from .chapters import chapters
from .clips import clips
from .demo import demo
from .follow import follow
from .models import models
from .open import open_pages
from .page import page
from .pool import pool
from .record import record
from .sheet import sheet
from .signals import INTERRUPTED, TERMINATED, end_soon
from .tally import tally
from .why import why
from .write import write

app = typer.Typer(
    name="ashdraft",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)


def _version(asked: bool) -> None:
    if asked:
        print(f"ashdraft {__version__}")
        raise typer.Exit


@app.callback()
def ashdraft(
    version: bool = typer.Option(
        False, "--version", is_eager=True, callback=_version, help="Print the version and stop."
    ),
) -> None:
    """Spoken cigar-review notes in; a written draft out, on your own machine.

    \b
    Examples:
      ashdraft write stick2.m4a
      ashdraft demo
    """


for command in (
    write,
    record,
    captions,
    chapters,
    clips,
    follow,
    page,
    demo,
    models,
    why,
    pool,
    tally,
    sheet,
):
    app.command()(command)
app.command("open")(open_pages)
app.add_typer(archive, name="archive")


def main() -> None:
    """Run the command line; the console script's entry point."""
    if isinstance(sys.stdout, TextIOWrapper):  # a terminal may not know every letter of a name
        sys.stdout.reconfigure(errors="backslashreplace")
    end_soon()
    try:
        app()
    except SystemExit as done:
        if done.code in (INTERRUPTED, TERMINATED):  # threads may be in the middle of a window
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(int(done.code))
        raise
