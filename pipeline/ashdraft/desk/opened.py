"""A session that is open at the desk: its reading, its journal, and the files that follow them."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from ..errors import AshdraftError
from ..export.folder import DRAFT, NOTES
from ..model import Count, Notes
from ..output import WORK
from ..sheet.definition import SheetDefinition
from ..tally import is_sealed
from .doubts import Doubt, doubts
from .entry import COUNTS, Anchor, Entry, checked
from .files import Draft, assembled, current, sheet_of, write_draft, write_rest
from .journal import (
    FILE,
    Applied,
    append,
    applied,
    read_journal,
    redoable,
    undoable,
)
from .kept import FILE as KEPT
from .kept import keep, read_kept
from .rows import Row, rows
from .settled import Settled, read_settled, write_settled
from .words import Words

QUIET, QUIET_LONG = 1.5, 8.0
"""Seconds without a change after which the files that follow the notes are written.

The second is for a session of `LONG` sentences or more, where that takes seconds itself.
"""
LONG = 500
AGAIN = 3.0
"""Seconds until they are tried again where another run held the folder."""


class Behind(Exception):
    """A change that was made on a page which did not know of other changes."""


class Desk:
    """One session folder. Safe to use from several threads; nothing is kept but in its files."""

    def __init__(self, folder: Path) -> None:
        """Read the session in `folder`. Raises `InputMissing`, `TranscriptDamaged`."""
        self.folder = folder
        self._state = threading.RLock()
        self._writing = threading.Lock()
        self._timer: threading.Timer | None = None
        self._read()

    def _read(self) -> None:
        self._stamp = self._stamps()
        self.kept = read_kept(self.folder)
        self.words = Words(self.kept.said)
        self.rows: dict[int, Row] = {}
        self.journal = list(read_journal(self.folder))
        self.definition: SheetDefinition = sheet_of(self.folder, current(self.folder))
        self._shown(applied(self.kept.notes, self.journal))
        self._settled = read_settled(self.folder)
        self._written = self._at(self._settled.draft)
        if self._settled.draft != self.line or self._settled.rest != self.line:
            self._later(self._quiet)

    def refresh(self) -> None:
        """Read everything again where another program changed reading or journal."""
        with self._state:
            if self._stamp != self._stamps():
                self._read()

    @property
    def line(self) -> int:
        """The number of lines in the journal, which a page must know to make a change."""
        return len(self.journal)

    @property
    def blind(self) -> bool:
        """Whether the draft withholds what this session holds; then nothing is written."""
        then = current(self.folder) if self.kept.blind else None
        return then is not None and is_sealed(then.data.decode())

    @property
    def undoable(self) -> bool:
        """Whether there is a change to take back."""
        return undoable(self.journal) is not None

    @property
    def redoable(self) -> bool:
        """Whether there is a change to make again."""
        return redoable(self.journal) is not None

    @property
    def counts(self) -> dict[str, dict[str, Any]]:
        """The counts as they stand: `total`, `by_third`."""
        reading = self.applied.notes.reading
        counts: dict[str, Count] = {name: getattr(reading, name) for name in COUNTS}
        return {n: {"total": c.total, "by_third": list(c.by_third)} for n, c in counts.items()}

    def make(self, do: str, id: int | None, given: Mapping[str, Any], line: int) -> None:
        """Add one change to the journal and apply it.

        `line` is how many lines the page knew of. Raises `Behind` where there are more, and
        `ValueError` for a change that makes no sense or has no place; then nothing is added.
        """
        with self._state:
            self.refresh()
            if line != self.line:
                raise Behind
            sentence = None
            if id is not None:
                if id not in self.rows:
                    raise ValueError("there is no such sentence")
                u = self.rows[id].said
                sentence = Anchor(u.start, u.end, u.heard)
            now = datetime.now(UTC).isoformat(timespec="seconds")
            self._take(checked(do, now, sentence, given))

    def undo(self, line: int, *, redo: bool = False) -> None:
        """Take the last change back, or with `redo` make it again. Raises as `make` does."""
        with self._state:
            target = (redoable if redo else undoable)(self.journal)
        if target is None:
            raise ValueError("there is nothing to take back")
        self.make("undo", None, {"line": target}, line)

    def draft(self) -> Draft:
        """Write the draft where a change waits for it, and return it. Raises `OutputRefused`."""
        with self._writing:
            with self._state:
                notes, before, line = self.applied.notes, self._written, self.line
            if self._settled.draft == line or self.blind:
                return self._standing()
            written = write_draft(
                self.folder,
                self._assembled(notes),
                lambda: self._assembled(before),
                self.definition,
            )
            with self._state:
                self._written = notes
                self._settle(replace(self._settled, draft=line, file=written.file))
            return written

    def settle(self) -> None:
        """Write all files that a change is due in. Raises `OutputRefused`."""
        written = self.draft()
        with self._writing:
            with self._state:
                notes, line = self.applied.notes, self.line
            if self._settled.rest == line or self.blind:
                return
            said = self.words.timed(notes.reading.utterances)
            write_rest(self.folder, notes, said, written.text)
            with self._state:
                self._settle(replace(self._settled, rest=line))
                self._stamp = self._stamps()

    def close(self) -> None:
        """Write now what waits to be written."""
        timer, self._timer = self._timer, None
        if timer is not None:
            timer.cancel()
            timer.join()
            self.settle()

    def _standing(self) -> Draft:
        """Return the draft that holds all changes as it is in the folder."""
        for file in dict.fromkeys((self._settled.file, DRAFT)):
            then = current(self.folder, file)
            if then is not None:
                return Draft(then.data.decode("utf-8-sig"), file)
        return Draft(self._assembled(self.applied.notes), DRAFT)

    def _at(self, line: int) -> Notes:
        """Return the notes as they were when the journal had so many lines."""
        if line == self.line:
            return self.applied.notes
        return applied(self.kept.notes, self.journal[:line]).notes

    def _settle(self, settled: Settled) -> None:
        self._settled = settled
        write_settled(self.folder, settled)

    def _assembled(self, notes: Notes) -> str:
        return assembled(notes, self.definition, caution=self.kept.caution)

    def _take(self, entry: Entry) -> None:
        made = applied(self.kept.notes, [*self.journal, entry])
        if self.line + 1 in made.lost:
            raise ValueError("the words of this change do not stand there")
        keep(self.folder, self.kept)
        append(self.folder, entry)
        self._stamp = self._stamps()
        self.journal.append(entry)
        self._shown(made)
        self._later(self._quiet)

    def _shown(self, made: Applied) -> None:
        self.applied = made
        self.doubts: tuple[Doubt, ...] = doubts(made)
        self.rows = rows(made, self.doubts, self.words, self.rows)

    @property
    def _quiet(self) -> float:
        return QUIET if len(self.rows) < LONG else QUIET_LONG

    def _later(self, seconds: float) -> None:
        if self._timer is not None:
            self._timer.cancel()
        self._timer = threading.Timer(seconds, self._settle_later)
        self._timer.daemon = True
        self._timer.start()

    def _settle_later(self) -> None:
        try:
            self.settle()
        except (AshdraftError, OSError):
            with self._state:
                self._later(AGAIN)

    def _stamps(self) -> tuple[tuple[int, int], ...]:
        kept = self.folder / WORK / KEPT
        reading = kept if kept.is_file() else self.folder / NOTES
        return tuple(_stamp(path) for path in (reading, self.folder / FILE))


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except FileNotFoundError:
        return (0, 0)
    return found.st_mtime_ns, found.st_size
