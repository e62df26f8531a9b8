"""The desk: the page on which the draft of a session is worked on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .journal import apply
from .taking_up import taken_up

if TYPE_CHECKING:
    from starlette.routing import BaseRoute

    from ..serve.sessions import Sessions

__all__ = ["apply", "routes", "taken_up"]


def routes(sessions: Sessions) -> Sequence[BaseRoute]:
    """Return the desk's pages, all below `/desk/`."""
    from .pages import routes as pages

    return pages(sessions)
