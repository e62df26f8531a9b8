"""The application: the pages of table and desk behind one guard."""

from __future__ import annotations

from collections.abc import Collection
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from .devices import Devices
from .sessions import Sessions

if TYPE_CHECKING:
    from starlette.applications import Starlette
    from starlette.routing import BaseRoute

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


def make_app(
    root: Path,
    *,
    devices: Devices | None = None,
    hosts: Collection[str] = LOOPBACK,
    authority: Path | None = None,
    model: str = "base",
) -> Starlette:
    """Return the application that shows the sessions in `root`.

    `hosts` are the names that a request may call this computer by. A device that `devices` does
    not know sees the pairing page and nothing else; there it may fetch the certificate of
    `authority`. What is recorded is read with `model` while the application runs. Static files
    of `table` and `desk` are at `/static/table/` and `/static/desk/`, those for both at
    `/static/`.
    """
    from starlette.applications import Starlette
    from starlette.middleware import Middleware
    from starlette.routing import Mount
    from starlette.staticfiles import StaticFiles

    from ..table.readers import reading
    from .guard import Guard
    from .home import routes as home
    from .pages import BASE, Pages
    from .pair import routes as pairing

    devices = Devices() if devices is None else devices
    sessions = Sessions(root)
    shown: list[BaseRoute] = [*pairing(devices, authority), *home(sessions), *_routes(sessions)]
    for package in ("table", "desk"):
        if find_spec(f"ashdraft.{package}") is not None:
            static = StaticFiles(directory=Pages(f"ashdraft.{package}").static)
            shown.append(Mount(f"/static/{package}", static))
    shown.append(Mount("/static", StaticFiles(directory=Pages(BASE).static)))
    return Starlette(
        routes=shown,
        middleware=[Middleware(Guard, devices=devices, hosts=hosts)],
        lifespan=reading(sessions, model),
    )


def _routes(sessions: Sessions) -> list[BaseRoute]:
    from .. import table

    return [*table.routes(sessions)]
