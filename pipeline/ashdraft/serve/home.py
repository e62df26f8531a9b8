"""The first page: the sessions of the folder, and the way to the table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from .pages import BASE, Pages
from .sessions import Sessions

if TYPE_CHECKING:
    from starlette.templating import Jinja2Templates


def routes(sessions: Sessions) -> list[BaseRoute]:
    """The list of sessions."""
    pages: Jinja2Templates = Pages(BASE).templates

    def home(request: Request) -> Response:
        return pages.TemplateResponse(request, "home.html", {"sessions": list(sessions)})

    return [Route("/", home)]
