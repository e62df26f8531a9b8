"""At the table: sound and taps from the phone or a terminal, kept piece by piece."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from starlette.routing import BaseRoute

    from ..serve.sessions import Sessions


def routes(sessions: Sessions) -> list[BaseRoute]:
    """The pages at the table."""
    from .routes import routes as listed

    return listed(sessions)
