"""What the page at the table asks of the server."""

from __future__ import annotations

import json
import threading
from collections.abc import Awaitable, Callable
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from ..serve.pages import Pages
from ..serve.sessions import Sessions
from . import log, pieces
from .reader import so_far
from .uploads import Refused, Uploads

Answer = Callable[[Request], Awaitable[Response]]
_LONGEST_ENTRY = 20_000


def routes(sessions: Sessions) -> list[BaseRoute]:
    """The page, and what it sends: `KEY` names a recording, made up by the phone."""
    uploads = Uploads(sessions)
    lock = threading.Lock()
    templates = Pages("ashdraft.table").templates

    async def page(request: Request) -> Response:
        return templates.TemplateResponse(request, "table.html", {})

    async def worker(_: Request) -> Response:
        script = (Pages("ashdraft.table").static / "offline.js").read_bytes()
        return Response(
            script, media_type="text/javascript", headers={"service-worker-allowed": "/table"}
        )

    async def begin(request: Request) -> Response:
        sent = await _sent(request)

        def store() -> Response:
            uploads.begin(request.path_params["key"], str(sent.get("moment")))
            return JSONResponse({"begun": True}, 201)

        return await stored(store)

    async def state(request: Request) -> Response:
        key = request.path_params["key"]
        session = await run_in_threadpool(uploads.session, key)
        if session is None or session.recording is None:
            return JSONResponse({"unknown": True})
        known = log.read(session.recording / log.FILE)
        return JSONResponse(
            {
                "name": session.name,
                "pieces": len(pieces.numbers(session.recording)),
                "stopped": known is not None and known.stopped,
                "draft": session.id if session.ready else None,
                "understood": so_far(session.recording),
            }
        )

    async def piece(request: Request) -> Response:
        body = await request.body()
        rate = request.query_params.get("rate", "")
        moment = request.query_params.get("moment", "")

        def store() -> Response:
            folder = uploads.folder(request.path_params["key"])
            if folder is None:
                return JSONResponse({"unknown": True}, 404)
            number = _number(request.path_params["number"])
            uploads.piece(folder, number, _number(rate), moment, body)
            return JSONResponse({"confirmed": number})

        return await stored(store)

    async def entry(request: Request) -> Response:
        sent = await _sent(request)

        def store() -> Response:
            folder = uploads.folder(request.path_params["key"])
            if folder is None:
                return JSONResponse({"unknown": True}, 404)
            uploads.entry(folder, sent)
            return JSONResponse({"confirmed": sent["n"]})

        return await stored(store)

    async def stored(store: Callable[[], Response]) -> Response:
        def alone() -> Response:
            with lock:
                return store()

        return await run_in_threadpool(alone)

    return [
        Route("/table", page),
        Route("/table/offline.js", worker),
        Route("/table/{key}", _told(begin), methods=["POST"]),
        Route("/table/{key}", _told(state), methods=["GET"]),
        Route("/table/{key}/pieces/{number}", _told(piece), methods=["PUT"]),
        Route("/table/{key}/entries", _told(entry), methods=["POST"]),
    ]


def _told(answer: Answer) -> Answer:
    """Turn what is refused, and a disk that takes nothing, into an answer."""

    async def told(request: Request) -> Response:
        try:
            return await answer(request)
        except Refused as fault:
            return JSONResponse({"refused": str(fault)}, 422)
        except OSError as fault:
            return JSONResponse({"refused": f"The disk takes nothing ({fault.strerror})."}, 507)

    return told


def _number(text: str) -> int:
    """A small whole number; 0 for anything else."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 6 else 0


async def _sent(request: Request) -> dict[str, Any]:
    body = await request.body()
    if len(body) > _LONGEST_ENTRY:
        raise Refused("That is too long.")
    try:
        sent = json.loads(body)
    except (ValueError, RecursionError):
        raise Refused("That is not JSON.") from None
    if not isinstance(sent, dict):
        raise Refused("That is not an entry.")
    return sent
