"""The page behind a pairing link, and the cookie it is exchanged for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import FileResponse, RedirectResponse, Response
from starlette.routing import BaseRoute, Route

from .devices import Devices
from .guard import COOKIE
from .pages import Pages

if TYPE_CHECKING:
    from starlette.templating import Jinja2Templates

_YEAR = 365 * 24 * 3600


def routes(devices: Devices, authority: Path | None) -> list[BaseRoute]:
    """Routes that let a device in.

    Looking at the link does not use it up (phones fetch links to preview them); the button does.
    """
    pages: Jinja2Templates = Pages("ashdraft.serve").templates

    async def ask(request: Request) -> Response:
        code = str(request.path_params["code"])
        waits = devices.waits(code)
        return pages.TemplateResponse(
            request, "pair.html", {"code": code, "waits": waits}, 200 if waits else 410
        )

    async def pair(request: Request) -> Response:
        token = devices.pair(str(request.path_params["code"]))
        if token is None:
            return pages.TemplateResponse(request, "pair.html", {"waits": False}, 410)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(
            COOKIE,
            token,
            max_age=_YEAR,
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )
        return answer

    async def certificate(_: Request) -> Response:
        if authority is None:
            return Response(status_code=404)
        return FileResponse(
            authority, media_type="application/x-x509-ca-cert", filename="ashdraft-ca.crt"
        )

    return [
        Route("/pair/ashdraft-ca.crt", certificate, methods=["GET"]),
        Route("/pair/{code}", ask, methods=["GET"]),
        Route("/pair/{code}", pair, methods=["POST"]),
    ]
