"""Sessions into the archive, and out of it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from ..errors import OutputRefused, TranscriptDamaged, UsageError
from .entry import Entry, identity
from .opened import vacuum, writing
from .rows import rows


@dataclass(frozen=True, slots=True)
class Kept:
    """One session as it was kept. `replaced`: it was there already, and is this one now.

    `related` are other sessions that share a recording with it. `withheld` as in `Entry`.
    `lost` is what it had before and has no more, of "name" and "marks"; `before` is the folder
    that it came from then.
    """

    session: int
    title: str
    replaced: bool
    related: tuple[int, ...] = ()
    withheld: bool = False
    lost: tuple[str, ...] = ()
    before: str | None = None


@dataclass(frozen=True, slots=True)
class Removed:
    """One session that was taken out; `folder` is where it came from, which is left alone."""

    session: int
    title: str
    folder: str


def add(path: Path, entries: Iterable[Entry]) -> tuple[Kept, ...]:
    """Keep sessions, all of them or none; the archive is made where there is none.

    A session that is there already (entry.identity) keeps its number and is replaced whole.
    Raises `OutputRefused` or `ArchiveUnusable`.
    """
    now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    with writing(path, create=True) as connection:
        return tuple(_add(connection, entry, now) for entry in entries)


def remove(path: Path, sessions: Sequence[int]) -> tuple[Removed, ...]:
    """Take sessions out, all of them or none, and leave no word of them in the file.

    Their rows go, the full-text index is merged into one piece, as it only marks what was
    removed until then (https://www.sqlite.org/fts5.html, 6.8), and the file is built anew.
    Raises `UsageError` for a session that is not there.
    """
    with writing(path) as connection:
        removed = tuple(_remove(connection, session) for session in dict.fromkeys(sessions))
        connection.execute("INSERT INTO words (words) VALUES ('optimize')")
    try:
        vacuum(path)
    except OutputRefused as fault:
        raise OutputRefused(
            f"The sessions are removed, but {path} could not be built anew, and words of them "
            f"may still be found in it. {fault.message}",
            "Mend that, then: ashdraft archive check",
        ) from fault
    return removed


def _add(connection: sqlite3.Connection, entry: Entry, now: str) -> Kept:
    known = identity(entry.document)
    old = connection.execute(
        "SELECT id, folder, name IS NOT NULL AS name, EXISTS (SELECT 1 FROM sheet_row "
        "WHERE session = session.id AND mark IS NOT NULL) AS marks FROM session "
        "WHERE identity = ?",
        [known],
    ).fetchone()
    if old:
        connection.execute("DELETE FROM session WHERE id = ?", [old["id"]])
    session = old["id"] if old else _next(connection)
    try:
        for table, values in rows(entry, session, known, now):
            connection.execute(_insertion(table, tuple(values)), tuple(values.values()))
    except (OverflowError, sqlite3.IntegrityError):
        raise TranscriptDamaged(
            f"The notes of {entry.folder} hold a number that cannot be kept.",
            "Write them again from the recording: ashdraft write RECORDING",
        ) from None
    related = connection.execute(
        "SELECT DISTINCT other.session FROM recording AS mine JOIN recording AS other "
        "USING (sha256) WHERE mine.session = ? AND other.session <> mine.session "
        "ORDER BY 1",
        [session],
    )
    others = tuple(row[0] for row in related)
    sheet = entry.document.get("sheet") or {"rows": ()}
    has = {
        "name": "name" in entry.typed,
        "marks": any(r["mark"] is not None for r in sheet["rows"]),
    }
    lost = tuple(what for what, there in has.items() if old and old[what] and not there)
    before = old["folder"] if old else None
    return Kept(session, entry.title, bool(old), others, entry.withheld, lost, before)


@cache
def _insertion(table: str, columns: tuple[str, ...]) -> str:
    names = ", ".join(f'"{column}"' for column in columns)
    return f"INSERT INTO {table} ({names}) VALUES ({', '.join('?' * len(columns))})"


def _next(connection: sqlite3.Connection) -> int:
    """Return a number that no session had before, removed ones included."""
    row = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'session'").fetchone()
    return (row[0] if row else 0) + 1


def _remove(connection: sqlite3.Connection, session: int) -> Removed:
    row = connection.execute(
        "SELECT id, title, folder FROM session WHERE id = ?", [session]
    ).fetchone()
    if row is None:
        raise UsageError(
            f"There is no session {session} in the archive; nothing was removed.",
            "See which there are: ashdraft archive list",
        )
    connection.execute("DELETE FROM session WHERE id = ?", [session])
    return Removed(row["id"], row["title"], row["folder"])
