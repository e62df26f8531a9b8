"""The sessions that are open at the desk, a few at a time."""

from __future__ import annotations

import threading
from collections import OrderedDict
from contextlib import suppress

from ..errors import AshdraftError
from ..serve.sessions import Session, Sessions
from .opened import Desk

MOST = 4
"""Sessions that are kept in memory."""


class OpenDesks:
    """Finds the session of an id, and keeps those used last."""

    def __init__(self, sessions: Sessions) -> None:
        """Look for sessions among `sessions`."""
        self._sessions = sessions
        self._lock = threading.Lock()
        self._desks: OrderedDict[str, Desk] = OrderedDict()

    def find(self, id: str) -> tuple[Session, Desk] | None:
        """Return the session and its desk, as its files are now; None where there is none.

        Raises `InputMissing`, `TranscriptDamaged` or `DataDamaged` where it cannot be read.
        """
        session = self._sessions.find(id)
        if session is None or not session.ready:
            return None
        with self._lock:
            desk = self._desks.pop(id, None)
            if desk is None or desk.folder != session.folder:
                desk = Desk(session.folder)
            self._desks[id] = desk
            gone = self._desks.popitem(last=False)[1] if len(self._desks) > MOST else None
        if gone is not None:
            with suppress(AshdraftError, OSError):  # it is written at the next opening
                gone.close()
        desk.refresh()
        return session, desk
