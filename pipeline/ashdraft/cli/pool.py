"""`ashdraft pool`: several sessions of one cigar in, one pooled draft out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ..progress import for_stream, printable
from . import settings
from .failures import reported

if TYPE_CHECKING:
    from ..pool import Pooled


@reported
def pool(
    sessions: Annotated[
        list[str],
        typer.Argument(
            metavar="SESSION...",
            help="Folders that ashdraft write made, two or more; SESSION@NAME names the reviewer.",
        ),
    ],
    out: Annotated[
        Path | None, typer.Option(help="Folder to write into; if not given, beside the first.")
    ] = None,
    name: Annotated[
        str | None, typer.Option(help="The cigar's name, where the sessions do not agree on it.")
    ] = None,
    sheet: Annotated[
        Path | None, typer.Option(help="Score sheet marked on, where a session does not keep it.")
    ] = None,
    no_caution: Annotated[
        bool, typer.Option("--no-caution", help="Leave the caution line out of the draft.")
    ] = False,
    force: settings.Force = False,
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Put several sticks of one cigar together, and keep each in sight.

    Writes a pooled draft, the score sheet with every stick's marks, the figures and a chart.
    Sizes are kept apart; sessions of different cigars are refused.

    \b
    Examples:
      ashdraft pool stick1-draft stick2-draft stick3-draft
      ashdraft pool may/stick1-draft june/stick2-draft --out lantern
      ashdraft pool stick1-draft@Ines stick2-draft@Odo
    """
    from ..pool import write_pool

    done = write_pool(sessions, out, name=name, sheet=sheet, caution=not no_caution, force=force)
    progress = for_stream()
    for check in done.pool.checks:
        if check.kind != "fact":  # these may hold spoken words
            progress.note(check.message)
    for written in done.files:
        if written.beside:
            progress.note(
                f"{written.beside.name} was edited and is left as it is; the new one is "
                f"{written.path.name} (--force replaces edited files)"
            )
    print(_summary(done))


def _summary(done: Pooled) -> str:
    """Return the few lines that a person reads when the pool is ready."""
    from ..pool.pooled import numbered
    from ..pool.tables import rated, summarised

    lines = []
    for group in done.pool.groups:
        found = group.measures
        most = [note.term for note in group.taste.notes if note.in_most]
        lines += [
            f"{group.of.size.words}: {numbered([s.number for s in group.sticks])}",
            f"  Touched up     {rated(found.touched_up)}",
            f"  Relit          {rated(found.relit)}",
            f"  Smoking time   {summarised(found.minutes, ' min', 0)}",
            f"  Notes shared   {', '.join(most) or 'none in most sticks'}",
            f"  Disagreements  {len(group.contradictions)}",
        ]
        lines += [
            f"  Overall total  {summarised(sheet.total, '', 2)}"
            + (f", {sheet.name}" if len(group.sheets) > 1 else "")
            for sheet in group.sheets
            if sheet.total
        ]
    lines.append(f"To check         {len(done.pool.checks) or 'nothing'}")
    lines.append(f"Open next        {done.files[0].path}")
    return "\n".join(printable(line) for line in lines)
