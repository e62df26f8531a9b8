"""What the page at the table asks of the server."""

from __future__ import annotations

from starlette.routing import BaseRoute

from ..serve.sessions import Sessions


def routes(_: Sessions) -> list[BaseRoute]:
    """The pages at the table."""
    return []
