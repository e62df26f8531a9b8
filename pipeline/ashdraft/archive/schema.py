"""The archive's schema: created, and brought up to date, in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from ..errors import ArchiveUnusable

APPLICATION_ID = 0x41534844
"""`ASHD` in the header of the file, so that an archive can be told from another database."""
MIGRATIONS = ("schema_1.sql",)
"""Each brings the file from the version of its place, counted from 0, to the next one."""


def migrate(connection: sqlite3.Connection, path: Path) -> None:
    """Bring an empty or older file to the newest version, whole or not at all.

    The version is read again after the lock is held: another process may have been first.
    """
    if version(connection, path) == len(MIGRATIONS):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for name in MIGRATIONS[version(connection, path) :]:
            for statement in statements(files(__package__).joinpath(name).read_text("utf-8")):
                connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


def version(connection: sqlite3.Connection, path: Path) -> int:
    """Return the version of an archive, 0 for an empty file.

    Raises `ArchiveUnusable` for a database of another program and for a newer archive.
    """
    found = int(connection.execute("PRAGMA user_version").fetchone()[0])
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    if owner != APPLICATION_ID:
        if found or connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            raise ArchiveUnusable(
                f"{path} is a database of another program, and no archive.",
                "Name another file with --archive FILE.",
            )
        return 0
    if found > len(MIGRATIONS):
        raise ArchiveUnusable(
            f"{path} is of a newer Ashdraft (schema {found}; this one knows {len(MIGRATIONS)}).",
            "Update the program: pip install --upgrade ashdraft",
        )
    return found


def statements(script: str) -> Iterator[str]:
    """Split an SQL script; SQLite itself tells where a statement ends, triggers included."""
    part = ""
    for line in script.splitlines(keepends=True):
        part += line
        if sqlite3.complete_statement(part):
            yield part
            part = ""


def need_full_text(connection: sqlite3.Connection) -> None:
    """Raise `ArchiveUnusable` where this SQLite was built without FTS5."""
    if not connection.execute("SELECT 1 FROM pragma_module_list WHERE name = 'fts5'").fetchone():
        raise ArchiveUnusable(
            f"The SQLite {sqlite3.sqlite_version} of this Python has no full-text search (FTS5).",
            "Use a Python from python.org or from your system's packages; both have it.",
        )
