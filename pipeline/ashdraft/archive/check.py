"""Is the archive whole: SQLite's own checks, and every session against its notes."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from .opened import vacuum, writing
from .rows import LISTS

TABLES = (("utterance", "utterances"), *((table, key) for table, key, _ in LISTS))


def check(path: Path) -> tuple[str, ...]:
    """Return what is wrong with the archive, a line each; nothing where it is whole.

    Builds the file anew where room in it was freed and not given back, as after a removal that
    was cut short. Raises as `writing` does.
    """
    with writing(path) as connection:
        problems = tuple(_problems(connection))
        freed = connection.execute("PRAGMA freelist_count").fetchone()[0]
    if freed and not problems:
        vacuum(path)
    return problems


def _problems(connection: sqlite3.Connection) -> Iterator[str]:
    for (line,) in connection.execute("PRAGMA integrity_check").fetchall():
        if line != "ok":
            yield f"file: {line}"
    for table, _, parent, _ in connection.execute("PRAGMA foreign_key_check").fetchall():
        yield f"{table}: a row points at no {parent}"
    try:
        connection.execute("INSERT INTO words (words, rank) VALUES ('integrity-check', 1)")
    except sqlite3.DatabaseError:
        yield "words: the full-text index does not hold what was said"
    for (session,) in connection.execute("SELECT id FROM session ORDER BY id").fetchall():
        yield from _unlike(connection, session)


def _unlike(connection: sqlite3.Connection, session: int) -> Iterator[str]:
    """A session is whole if each table holds as many rows as its notes.json does."""
    sql = "SELECT notes FROM document WHERE session = ?"
    try:
        row = connection.execute(sql, [session]).fetchone()
        document = json.loads(row["notes"])
        wanted = {table: len(document[key]) for table, key in TABLES}
    except (sqlite3.OperationalError, TypeError, ValueError, KeyError):
        yield f"session {session}: its notes cannot be read"
        return
    for table, number in wanted.items():
        held = connection.execute(f"SELECT count(*) FROM {table} WHERE session = ?", [session])
        if (found := held.fetchone()[0]) != number:
            yield f"session {session}: {found} rows of {number} in {table}"
