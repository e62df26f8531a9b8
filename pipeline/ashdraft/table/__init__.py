"""At the table: sound and taps from the phone or a terminal, kept piece by piece."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from .log import FILE, Log, read

if TYPE_CHECKING:
    from starlette.routing import BaseRoute

    from ..model import Notes
    from ..serve.sessions import Sessions

__all__ = ["put_together", "routes", "taps_of", "with_taps"]


def routes(sessions: Sessions) -> list[BaseRoute]:
    """The pages at the table."""
    from .routes import routes as listed

    return listed(sessions)


def put_together(inputs: Sequence[Path]) -> None:
    """Put the pieces of every recording among `inputs` into takes. Raises OutputRefused."""
    from ..errors import OutputRefused
    from . import pieces

    for folder in inputs:
        if (folder / FILE).is_file():
            try:
                with pieces.alone(folder):
                    pieces.put_together(folder, ended=True)
            except OSError as error:
                raise OutputRefused(
                    f"The pieces in {folder.name} cannot be put together ({error.strerror}).",
                    "Free some space and type the same command again; every piece is kept.",
                ) from error


def taps_of(inputs: Sequence[Path]) -> Log | None:
    """The taps of the first recording among `inputs`, or those kept in a draft's `.ashdraft`."""
    logs = (read(folder / FILE) for folder in inputs)
    return next((log for log in logs if log is not None), None)


def with_taps(notes: Notes, log: Log) -> Notes:
    """Return `notes` with the taps beside what was said; see docs/table.md."""
    from .reconcile import with_taps as reconciled

    return reconciled(notes, log)
