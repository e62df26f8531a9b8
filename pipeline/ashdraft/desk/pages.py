"""The desk's routes: each finds its session by an opaque id and hands on to a page."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Route
from starlette.templating import Jinja2Templates

from ..charts import session_strip
from ..errors import AshdraftError
from ..model import SECTIONS
from ..serve.pages import Pages
from ..serve.sessions import Session, Sessions
from .exports import TYPES, file_of, overview
from .marks import Cell
from .open_desks import OpenDesks
from .opened import Behind, Desk
from .pane import pane
from .peaks import STEP, peaks
from .rows import Row
from .scoring import CHANGED, set_mark, sheet, total
from .slip import family_of, offered, slip
from .sound import Sound, playables, sounds

WIDTHS = {"wide": 1180, "narrow": 358}
"""Widths of the strip in CSS pixels: on a desk, and on a telephone of 390."""
BEHIND = "This session was changed on another page. Shown is how it stands now."
BLIND = "This draft is blind. Close its tally first: ashdraft tally FOLDER --close"


class At:
    """One request to a session's desk."""

    def __init__(
        self, request: Request, given: Mapping[str, Any], session: Session, desk: Desk
    ) -> None:
        """Look up what every page of it needs. `given` is what was sent with a change."""
        self.request, self.given, self.session, self.desk = request, given, session, desk
        self.base = f"/desk/{session.id}"
        notes = desk.applied.notes
        self.sounds: tuple[Sound, ...] = sounds(desk.folder, notes.recordings, session.recording)
        self.played = playables(self.sounds, f"{self.base}/sound")

    @property
    def common(self) -> dict[str, Any]:
        """What the templates of all pages show."""
        return {
            "session": self.session,
            "base": self.base,
            "line": self.desk.line,
            "recordings": self.played,
            "missing": [s.recording.file for s in self.sounds if s.path is None],
        }


_MARK = ("row", "mark", "comment", "was_mark", "was_comment")

Page = Callable[[At], Response]


def routes(sessions: Sessions) -> Sequence[BaseRoute]:
    """Return the routes of the desk."""
    desks = OpenDesks(sessions)
    templates = Pages("ashdraft.desk").templates
    pages = _Pages(templates)
    reads: Mapping[str, Page] = {
        "": pages.work, "/pane": pages.pane, "/peaks": pages.peaks,
        "/sound/{n:int}": pages.sound, "/slip/{utterance:int}": pages.slip,
        "/sheet": pages.sheet, "/files": pages.files, "/file/{name}": pages.file,
    }  # fmt: skip
    writes: Mapping[str, Page] = {
        "/change": pages.change, "/mark": pages.mark, "/total": pages.total,
    }  # fmt: skip
    return [
        *(
            Route(f"/desk/{{id}}{path}", _handled(pages, desks, page))
            for path, page in reads.items()
        ),
        *(
            Route(f"/desk/{{id}}{path}", _handled(pages, desks, page, body=True), methods=["POST"])
            for path, page in writes.items()
        ),
    ]


def _handled(
    pages: _Pages, desks: OpenDesks, page: Page, *, body: bool = False
) -> Callable[[Request], Any]:
    async def answer(request: Request) -> Response:
        given: Any = {}
        if body:
            try:
                given = json.loads(await request.body())
            except (ValueError, RecursionError):
                given = None
            if not isinstance(given, dict):
                return _told("That was not understood.", 400)
        return await run_in_threadpool(_answered, pages, desks, page, request, given)

    return answer


def _answered(
    pages: _Pages, desks: OpenDesks, page: Page, request: Request, given: Mapping[str, Any]
) -> Response:
    try:
        found = desks.find(request.path_params["id"])
        if found is None:
            return PlainTextResponse("There is no such session.\n", 404)
        at = At(request, given, *found)
        return pages.blind(at) if at.desk.blind else page(at)
    except Behind:
        return _told(BEHIND, 409)
    except ValueError as fault:
        return _told(f"That cannot be done: {fault}.", 422)
    except OSError as fault:
        return _told(f"The session cannot be written: {fault.strerror}. Nothing was changed.", 503)
    except AshdraftError as fault:
        message = f"{fault.message} {fault.next_step}"
        if "text/html" in request.headers.get("accept", ""):
            return PlainTextResponse(f"{message}\n", 503)
        return _told(message, 503)


def _told(message: str, status: int) -> JSONResponse:
    return JSONResponse({"message": message}, status)


class _Pages:
    """The pages themselves."""

    def __init__(self, templates: Jinja2Templates) -> None:
        self.templates = templates

    def work(self, at: At) -> Response:
        """The page with the strip, the transcript and the draft."""
        desk = at.desk
        return self._shown(
            at, "work.html", rows=desk.rows.values(), step=STEP,
            strips=_strips(desk), **_standing(desk),
        )  # fmt: skip

    def blind(self, at: At) -> Response:
        """What is told in the place of everything while a draft is blind."""
        if "text/html" in at.request.headers.get("accept", ""):
            return self._shown(at, "blind.html")
        return _told(BLIND, 409)

    def pane(self, at: At) -> Response:
        """The draft, and the strip, after a change."""
        desk = at.desk
        line = desk.line
        written = desk.draft()
        return JSONResponse(
            {
                "line": line,
                "draft": pane(written.text, desk.applied.notes, at.played),
                "file": written.file,
                "edited": written.edited,
                "strips": _strips(desk),
            }
        )

    def peaks(self, at: At) -> Response:
        """How loud the timeline is."""
        return Response(peaks(at.desk.folder, at.sounds), media_type="application/octet-stream")

    def sound(self, at: At) -> Response:
        """A recording, whole or in ranges (RFC 9110, 14)."""
        n = at.request.path_params["n"]
        sound = at.sounds[n] if n < len(at.sounds) else None
        if sound is None or sound.path is None:
            return PlainTextResponse("There is no such recording.\n", 404)
        return FileResponse(sound.path, media_type=sound.media_type)

    def slip(self, at: At) -> Response:
        """What can be changed in one sentence, as a form."""
        row = at.desk.rows.get(at.request.path_params["utterance"])
        if row is None:
            return PlainTextResponse("There is no such sentence.\n", 404)
        return self._shown(at, "slip.html", row=row, **slip(at.desk, row))

    def change(self, at: At) -> Response:
        """Make, take back or repeat a change; tell which rows are others now."""
        desk, given = at.desk, at.given
        do, id, line = given.get("do"), given.get("id"), given.get("line")
        if not isinstance(line, int) or not isinstance(do, str):
            return _told("That was not understood.", 400)
        before = desk.rows
        if do in ("undo", "redo"):
            desk.undo(line, redo=do == "redo")
        else:
            sent = dict(given)
            if do in ("note", "renote"):
                sent["family"] = family_of(str(given.get("term", "")))
            desk.make(do, id if isinstance(id, int) else None, sent, line)
        after = desk.rows
        others = [row for row in after.values() if before.get(row.id) is not row]
        return JSONResponse(
            {
                "line": desk.line,
                "all": len(after) != len(before),
                "rows": {row.id: self._row_html(row) for row in others},
                "texts": {row.id: row.said.text for row in others},
                "offers": offered(given, before, after),
                **_standing(desk),
            }
        )

    def sheet(self, at: At) -> Response:
        """The score sheet."""
        return self._shown(at, "sheet.html", **sheet(at.desk))

    def mark(self, at: At) -> Response:
        """Write one box of the sheet into the draft."""
        given = {key: at.given.get(key) for key in _MARK}
        texts = {key: value for key, value in given.items() if isinstance(value, str)}
        known = {row.id for row in at.desk.definition.rows}
        if len(texts) < len(given) or texts["row"] not in known:
            return _told("That was not understood.", 400)
        was = Cell(texts["was_mark"], texts["was_comment"])
        cell, complaint = set_mark(
            at.desk, texts["row"], was, Cell(texts["mark"], texts["comment"])
        )
        return JSONResponse(
            {"cell": asdict(cell), "complaint": complaint, "changed": complaint == CHANGED}
        )

    def total(self, at: At) -> Response:
        """Add the marks up, because somebody asked."""
        return JSONResponse({"total": total(at.desk)})

    def files(self, at: At) -> Response:
        """Chapters, captions and the files to take away."""
        return self._shown(at, "files.html", **overview(at.desk))

    def file(self, at: At) -> Response:
        """One of the session's files, to be kept and not shown."""
        name = at.request.path_params["name"]
        found = file_of(at.desk, name)
        if found is None:
            return PlainTextResponse("There is no such file.\n", 404)
        media_type = TYPES[Path(name).suffix]
        if isinstance(found, Path):
            return FileResponse(found, media_type=media_type, filename=name)
        kept = {"content-disposition": f'attachment; filename="{name}"'}
        return Response(found, media_type=media_type, headers=kept)

    def _row_html(self, row: Row) -> str:
        template = self.templates.get_template("row.html")
        return str(template.module.row(row))  # type: ignore[attr-defined]

    def _shown(self, at: At, template: str, **values: Any) -> Response:
        return self.templates.TemplateResponse(
            at.request, template, {**at.common, "sections": SECTIONS, **values}
        )


def _standing(desk: Desk) -> dict[str, Any]:
    """What is told of the session beside its rows."""
    return {
        "doubts": len(desk.doubts),
        "undo": desk.undoable,
        "redo": desk.redoable,
        "counts": desk.counts,
    }


def _strips(desk: Desk) -> dict[str, str]:
    notes = desk.applied.notes
    return {
        name: session_strip(notes.reading, notes.recordings, name=f"session-{name}", width=width)
        for name, width in WIDTHS.items()
    }
