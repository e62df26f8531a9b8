"""What the page at the table asks of the server."""

from __future__ import annotations

from starlette.routing import BaseRoute

from ..serve.sessions import Sessions


def routes(sessions: Sessions) -> list[BaseRoute]:
    """The pages at the table."""
    return [] if sessions.root.is_file() else []
