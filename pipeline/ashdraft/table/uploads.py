"""What a phone sends, checked and put on disk. A client's text never becomes part of a path."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, cast

from ..intake.media import RATES
from ..serve.sessions import Session, Sessions
from . import log, pieces
from .log import LONGEST_NOTE, MARKS, TAP_KINDS, Log, RecordingMark, TapKind

KEY = re.compile(r"[0-9a-f]{32}")
LONGEST_PIECE = 15.0
"""Seconds of sound in one piece."""
_FUTURE = timedelta(days=2)
_MAX_ENTRIES = 5000


class Refused(ValueError):
    """What was sent cannot be a part of a recording; the text may be shown."""


@dataclass(slots=True)
class Uploads:
    """The recordings that came from phones, by key. For one caller at a time."""

    sessions: Sessions
    _folders: dict[str, Path] = field(default_factory=dict)

    def begin(self, key: str, moment: str) -> None:
        """Make the folder of a recording; a second time changes nothing. Raises OSError."""
        if self.folder(key) is not None:
            return
        begun = _moment(moment)
        root = self.sessions.root
        for number in range(1, 100):
            name = f"{begun:%Y-%m-%d %H.%M}" + (f" {number}" if number > 1 else "")
            folder = root / name
            with suppress(FileExistsError):
                folder.mkdir()
                log.begin(folder, begun, key)
                self._folders[key] = folder
                return
        raise Refused("There are too many recordings of this minute.")

    def folder(self, key: str) -> Path | None:
        """The folder of a recording. Raises Refused for what is no key."""
        if not KEY.fullmatch(key):
            raise Refused("That is no recording's key.")
        known = self._folders.get(key)
        if known is not None and (known / log.FILE).is_file():
            return known
        for session in self.sessions:
            found = _log(session)
            if found is not None and found.key == key and session.recording is not None:
                self._folders[key] = session.recording
                return session.recording
        return None

    def session(self, key: str) -> Session | None:
        """The session that a recording belongs to."""
        folder = self.folder(key)
        return next((s for s in self.sessions if s.recording == folder), None) if folder else None

    def piece(self, folder: Path, number: int, rate: int, moment: str, body: bytes) -> None:
        """Store samples (16 bits, little-endian, one channel). Raises Refused, OSError."""
        import numpy as np

        if not 1 <= number <= pieces.LONGEST:
            raise Refused("A recording has no piece of that number.")
        if rate not in RATES or rate < 8000 or rate > 96_000:
            raise Refused("Sound has no such rate.")
        if not body or len(body) % 2 or len(body) > LONGEST_PIECE * rate * 2:
            raise Refused("That is no piece of sound.")
        samples = np.frombuffer(body, dtype="<i2").astype(np.int16)
        pieces.keep(folder, number, samples, rate, _moment(moment))

    def entry(self, folder: Path, entry: Mapping[str, Any]) -> None:
        """Store a tap, a note or a mark; the same number again changes nothing.

        Raises Refused, OSError.
        """
        number = entry.get("n")
        if isinstance(number, bool) or not isinstance(number, int) or not 0 < number < 2**31:
            raise Refused("An entry has a number.")
        moment = _moment(str(entry.get("moment")))
        known = log.read(folder / log.FILE)
        if known is None or len(known.numbers) >= _MAX_ENTRIES:
            raise Refused("This recording takes no more entries.")
        if number in known.numbers:
            return
        tap, note, mark = (entry.get(name) for name in ("tap", "note", "mark"))
        if tap in TAP_KINDS:
            log.tap(folder, cast(TapKind, tap), moment, number)
        elif mark in MARKS:
            log.mark(folder, cast(RecordingMark, mark), moment, number)
        elif isinstance(note, str) and 0 < len(note.strip()) <= LONGEST_NOTE:
            log.note(folder, note.strip(), moment, number)
        else:
            raise Refused("That is neither a tap nor a note.")


def _log(session: Session) -> Log | None:
    return log.read(session.recording / log.FILE) if session.recording is not None else None


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise Refused("That is no moment in time.") from None
    if moment.tzinfo is None or moment.year < 2000:
        raise Refused("A moment names its time zone.")
    if moment > datetime.now(moment.tzinfo) + _FUTURE:
        raise Refused("That moment has not come.")
    return moment
