"""Starts a reader for each recording that needs one, while the server runs."""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import time
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import TYPE_CHECKING

from .log import FILE, read
from .reader import SO_FAR, so_far, work

if TYPE_CHECKING:
    from starlette.applications import Starlette

    from ..serve.sessions import Session, Sessions

LOOK = 2.0
ACTIVE = 900.0
"""Seconds since its last change for which a recording without an end is taken to go on."""
AT_ONCE = 2
_LAST_WORD = 1.0

Lifespan = Callable[["Starlette"], AbstractAsyncContextManager[None]]


@dataclass(slots=True)
class Readers:
    """The reader processes of one server, by folder."""

    sessions: Sessions
    model: str
    _running: dict[Path, tuple[SpawnProcess, Connection]] = field(default_factory=dict)

    def look(self) -> None:
        """Start and forget readers as the recordings ask for it."""
        for done, (process, connection) in list(self._running.items()):
            if not process.is_alive():
                connection.close()
                del self._running[done]
        for session in self.sessions:
            if len(self._running) >= AT_ONCE:
                return
            folder = session.recording
            if folder is not None and folder not in self._running and needs_reading(session):
                self._start(folder, session.folder)

    def end(self) -> None:
        """End all readers; what they finished is kept."""
        for process, connection in self._running.values():
            connection.close()
            process.terminate()
        for process, _ in self._running.values():
            process.join(_LAST_WORD)
        self._running.clear()

    def _start(self, folder: Path, out: Path) -> None:
        context = multiprocessing.get_context("spawn")
        theirs, ours = context.Pipe(duplex=False)
        process = context.Process(target=work, args=(folder, out, self.model, theirs), daemon=True)
        process.start()
        theirs.close()
        self._running[folder] = (process, ours)


def needs_reading(session: Session) -> bool:
    """Whether a recording goes on, or has ended and no draft was made of it since."""
    assert session.recording is not None
    log = read(session.recording / FILE)
    if log is None:
        return False
    changed = (session.recording / FILE).stat().st_mtime
    if not log.stopped:
        newest = max((p.stat().st_mtime for p in session.recording.glob("*.flac")), default=changed)
        return time.time() - max(newest, changed) < ACTIVE
    known = so_far(session.recording)
    if session.ready and "fault" not in known:
        return False
    tried = (session.recording / SO_FAR).stat().st_mtime if "fault" in known else 0.0
    return tried < changed


def reading(sessions: Sessions, model: str) -> Lifespan:
    """What a server does besides answering: keep the readers going."""

    @contextlib.asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        readers = Readers(sessions, model)

        async def watch() -> None:
            while True:
                await asyncio.to_thread(readers.look)
                await asyncio.sleep(LOOK)

        task = asyncio.create_task(watch())
        try:
            yield
        finally:
            task.cancel()
            await asyncio.to_thread(readers.end)

    return life
