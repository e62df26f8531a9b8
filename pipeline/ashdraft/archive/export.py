"""The archive as files for other programs: CSV, JSON, or every notes.json as it was."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

from ..errors import OutputRefused, UsageError
from ..output import atomic_write
from .opened import damaged, reading

FORMAT = "ashdraft-archive"
VERSION = 1
TABLES = (
    "session", "recording", "utterance", "descriptor", "event", "counts", "spoken_mark",
    "chapter", "repair", "sheet", "sheet_section", "sheet_row",
)  # fmt: skip
"""Tables that can be exported as CSV; a session's rows are those with its number."""
SESSIONS = (
    "SELECT id, folder, added_at, day, title, name, maker, obtained, cut, note, disclosure, "
    "document.notes AS notes FROM session JOIN document ON document.session = session.id "
    "ORDER BY id"
)
GUARDED = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "'")
"""A text cell that begins so is a formula to a spreadsheet, or begins as a guarded cell does
(OWASP, CSV Injection)."""


def export_csv(path: Path, table: str = "session") -> str:
    """Return a table as CSV (RFC 4180: CRLF, one header line, quotation marks doubled).

    A text that a spreadsheet would run as a formula, and one that begins with an apostrophe,
    gets an apostrophe before it; numbers never do. Taking one apostrophe off the beginning of
    each text gives what was there. An empty cell is a value that was not given. Raises
    `UsageError` for a table that is not one of TABLES.
    """
    if table not in TABLES:
        raise UsageError(f"There is no table {table!r}.", f"Use one of: {', '.join(TABLES)}")
    with reading(path) as connection:
        cursor = connection.execute(f"SELECT * FROM {table} ORDER BY 1, 2")
        names = [column[0] for column in cursor.description]
        rows = cursor.fetchall()
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(names)
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return text.getvalue()


def guarded(cell: Any) -> Any:
    """Return a cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(GUARDED) else cell


def export_json(path: Path) -> str:
    """Return the whole archive as one JSON document; `notes` are the notes.json as they were."""
    with reading(path) as connection:
        rows = [dict(row) for row in connection.execute(SESSIONS)]
    try:
        sessions = [row | {"notes": json.loads(row["notes"])} for row in rows]
    except ValueError:
        raise damaged(path) from None
    document = {"format": FORMAT, "version": VERSION, "sessions": sessions}
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def export_notes(path: Path) -> dict[str, bytes]:
    """Return each session's notes.json, byte for byte, by a file name: `session-12.json`."""
    with reading(path) as connection:
        rows = connection.execute("SELECT session, notes FROM document ORDER BY session")
        return {f"session-{row[0]}.json": row[1].encode("utf-8") for row in rows}


def write_new(path: Path, data: bytes, *, force: bool = False) -> None:
    """Write a file that is not there yet, or with `force` any. Raises `OutputRefused`."""
    if path.exists() and not force:
        raise OutputRefused(f"{path} is there already.", "Name another file, or add --force.")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        atomic_write(path, data)
    except OSError as fault:
        raise OutputRefused(
            f"{path} cannot be written: {fault.strerror}.", "Name another file."
        ) from fault
