"""Opening the archive, and what SQLite refuses, in words that say what to type next.

The file keeps a rollback journal and no write-ahead log: the archive is written seldom and by one
person, and without a log it is one file at all times, which can be copied, put on a memory stick
or on a network drive. `synchronous = EXTRA` syncs the folder as well, so that a session that was
reported as kept is there after the power fails (https://www.sqlite.org/pragma.html).
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from ..errors import ArchiveUnusable, AshdraftError, InputMissing, OutputRefused
from . import schema

VARIABLE = "ASHDRAFT_ARCHIVE"
WAIT_MS = 20_000
"""How long to wait for another process that is writing."""
UNDECODABLE = sqlite3.SQLITE_CORRUPT
"""Python's sqlite3 raises an error without a code for text that is no UTF-8."""
ELSEWHERE = "Name another file with --archive FILE"


def default_archive() -> Path:
    """Return the archive's place: ASHDRAFT_ARCHIVE, or a file in the user's data folder."""
    from platformdirs import user_data_path

    chosen = os.environ.get(VARIABLE)
    if chosen:
        return Path(chosen).expanduser()
    return user_data_path("ashdraft", appauthor=False) / "archive.sqlite"


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """Open an archive that exists, for questions only.

    Raises `InputMissing` where there is none. The file is opened for writing all the same where
    that can be done, as only so can SQLite undo what a process that died left half written.
    """
    if not path.is_file():
        raise InputMissing(
            f"There is no archive {path} yet.", "Add a session first: ashdraft archive add FOLDER"
        )
    with _connected(path) as connection:
        if schema.version(connection, path) < len(schema.MIGRATIONS):
            schema.migrate(connection, path)
        connection.execute("PRAGMA query_only = ON")
        yield connection


@contextmanager
def writing(path: Path, *, create: bool = False) -> Iterator[sqlite3.Connection]:
    """Open an archive and hold one transaction: all that is done in the block, or nothing.

    With `create`, a missing file is made, readable by its owner only, as the journal beside it
    will be. Raises `InputMissing`, `OutputRefused` or `ArchiveUnusable`.
    """
    if create:
        _make(path)
    elif not path.is_file():
        raise InputMissing(
            f"There is no archive {path}.", "Name it with --archive FILE, if it is elsewhere."
        )
    with _connected(path) as connection:
        schema.migrate(connection, path)
        connection.execute("BEGIN IMMEDIATE")
        try:
            yield connection
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def vacuum(path: Path) -> None:
    """Build the file anew from what it holds, so that nothing that was removed is left in it."""
    with _connected(path) as connection:
        connection.execute("VACUUM")


@contextmanager
def _connected(path: Path) -> Iterator[sqlite3.Connection]:
    with refusals(path):
        address = f"{path.absolute().as_uri()}?mode=rw"
        with closing(sqlite3.connect(address, uri=True, isolation_level=None)) as connection:
            connection.row_factory = sqlite3.Row
            for setting in _settings():
                connection.execute(f"PRAGMA {setting}")
            schema.need_full_text(connection)
            yield connection


def _settings() -> tuple[str, ...]:
    return (
        f"busy_timeout = {WAIT_MS}",
        "foreign_keys = ON",
        "synchronous = EXTRA",
        "secure_delete = ON",
        "cell_size_check = ON",
    )


def _make(path: Path) -> None:
    with refusals(path):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
        except FileExistsError:
            if not path.is_file():
                raise OutputRefused(f"{path} is no file.", f"{ELSEWHERE}.") from None


def damaged(path: Path) -> ArchiveUnusable:
    """Return the failure for an archive that cannot be read as one."""
    return ArchiveUnusable(
        f"{path} is damaged.",
        "Put back a copy of it, or move it away and add your folders again: "
        "ashdraft archive add FOLDER...",
    )


@contextmanager
def refusals(path: Path) -> Iterator[None]:
    """Turn what SQLite or the system refuses into `OutputRefused` or `ArchiveUnusable`.

    SQLite's own error is left behind: its text may hold words from the file, and its frames
    hold statements, with which a closed connection would keep its lock.
    """
    refused: AshdraftError | None = None
    try:
        yield
    except sqlite3.ProgrammingError:
        raise
    except sqlite3.Error as fault:
        refused = _refused(path, getattr(fault, "sqlite_errorcode", UNDECODABLE) & 0xFF)
        if refused is None:
            raise
    except OSError as fault:
        refused = OutputRefused(f"{path} cannot be used: {fault.strerror}.", f"{ELSEWHERE}.")
    if refused is not None:
        try:
            raise refused
        finally:
            del refused


def _refused(path: Path, code: int) -> AshdraftError | None:
    """Return the failure for a primary result code (https://www.sqlite.org/rescode.html)."""
    if code == sqlite3.SQLITE_NOTADB:
        return ArchiveUnusable(f"{path} is no archive.", f"{ELSEWHERE}.")
    if code == sqlite3.SQLITE_CORRUPT:
        return damaged(path)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return OutputRefused(
            f"{path} is in use by another program.",
            "Close that program and type the same command again.",
        )
    if code == sqlite3.SQLITE_FULL:
        return OutputRefused(
            f"No room is left on the disk for {path}.",
            "Free some space and type the same command again; the archive is as it was.",
        )
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM):
        return OutputRefused(
            f"{path} cannot be written.", f"Make it and its folder writable. {ELSEWHERE}."
        )
    if code == sqlite3.SQLITE_CANTOPEN:
        return OutputRefused(f"{path} cannot be opened.", f"Check its rights. {ELSEWHERE}.")
    if code == sqlite3.SQLITE_IOERR:
        return OutputRefused(
            f"The disk failed while {path} was used.",
            "Check the disk, then: ashdraft archive check",
        )
    return None
