"""`ashdraft tally`: the marks typed into a draft, checked, added up and written back."""

from __future__ import annotations

import shlex
import sys
from pathlib import Path
from typing import Annotated

import typer

from ..facts import OBTAINED
from ..progress import printable
from . import settings
from .failures import reported


@reported
def tally(
    draft: Annotated[
        Path,
        typer.Argument(
            metavar="DRAFT",
            readable=False,  # the reader says what cannot be read, and what to do
            help="A draft.md with marks typed into it, or the folder it is in.",
        ),
    ],
    close: Annotated[
        bool,
        typer.Option("--close", help="Close the tally, and put back what a blind draft withholds."),
    ] = False,
    obtained: Annotated[
        str | None, typer.Option(help=f"How you got the cigar: {', '.join(OBTAINED)}.")
    ] = None,
    sheet: Annotated[
        Path | None, typer.Option(help="Sheet file of this draft, where it is not found.")
    ] = None,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Add up the marks that you typed into a draft.

    Type them into the column Mark of the score sheet, with any editor: a mark, a dash for not
    judged, words behind either if you like. Totals go into the draft below the table and into
    notes.json, and nothing else in the draft changes. Where a mark and what was said pull
    apart you are asked about it; no mark is proposed.

    \b
    Examples:
      ashdraft tally stick2-draft/draft.md
      ashdraft tally stick2-draft --obtained sample
      ashdraft tally stick2-draft --close
    """
    from ..tally import tally as add_up
    from ..tally.report import terminal

    done = add_up(draft, sheet=sheet, obtained=obtained, close=close)
    for line in terminal(done.standing).split("\n"):
        print(printable(line))
    state = "written" if done.changed else "nothing has changed"
    print(f"{printable(str(done.draft))}: {state}", file=sys.stderr)
    page = done.draft.with_suffix(".html")
    if done.changed and page.is_file():
        print(
            f"{printable(page.name)} does not show it yet: "
            f"ashdraft page {printable(shlex.quote(str(draft)))}",
            file=sys.stderr,
        )
