"""One session in full, or one cigar over time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..errors import InputMissing
from .listing import SUMMARY, Summary, summary_of
from .matching import name_key
from .opened import damaged, reading


@dataclass(frozen=True, slots=True)
class Session:
    """One session: its line, the typed facts that notes.json does not hold, and the notes."""

    summary: Summary
    typed: dict[str, str]
    document: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Met:
    """A tasting note of a cigar: by session, the thirds it came in (0: no third was told)."""

    term: str
    family: str
    thirds: dict[int, tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class History:
    """All sessions of one cigar, the oldest first, and its notes, those of most sessions first."""

    sessions: tuple[Summary, ...]
    notes: tuple[Met, ...]


def show_session(path: Path, session: int) -> Session:
    """Return one session.

    Raises `InputMissing` where there is none of that number, `ArchiveUnusable` where its notes
    are damaged.
    """
    from .entry import TYPED

    with reading(path) as connection:
        row = connection.execute(
            f"SELECT {', '.join(TYPED)}, document.notes AS notes_json FROM session "
            "JOIN document ON document.session = session.id WHERE session.id = ?",
            [session],
        ).fetchone()
        if row is None:
            raise InputMissing(
                f"There is no session {session} in {path}.",
                "See which there are: ashdraft archive list",
            )
        summary = summary_of(connection, session)
    typed = {key: row[key] for key in TYPED if row[key] is not None}
    try:
        return Session(summary, typed, json.loads(row["notes_json"]))
    except ValueError:
        raise damaged(path) from None


def show_cigar(path: Path, name: str, maker: str | None = None) -> History:
    """Return the sessions of the cigar of that name, however its case and spaces are written.

    With `maker` only those of that maker; `name` may also be maker and name together. Raises
    `InputMissing` where there is none.
    """
    wanted, made_by = name_key(name), name_key(maker or "")
    with reading(path) as connection:
        everything = connection.execute(
            "SELECT id, name, maker FROM session WHERE name IS NOT NULL ORDER BY day, id"
        ).fetchall()
        ids = [
            row["id"]
            for row in everything
            if wanted in (name_key(row["name"]), name_key(f"{row['maker'] or ''}{row['name']}"))
            and made_by in ("", name_key(row["maker"] or ""))
        ]
        if not ids or not wanted:
            raise InputMissing(
                f"No session of a cigar named {name!r} is in {path}.",
                "Search by a part of the name: ashdraft archive find --cigar WORD",
            )
        listed = json.dumps(ids)
        rows = connection.execute(
            f"{SUMMARY} WHERE session.id IN (SELECT value FROM json_each(?)) "
            "ORDER BY day, session.id",
            [listed],
        ).fetchall()
        notes = connection.execute(
            "SELECT DISTINCT term, family, session, coalesce(third, 0) AS third FROM descriptor "
            "WHERE polarity = 'present' AND session IN (SELECT value FROM json_each(?)) "
            "ORDER BY term, session, third",
            [listed],
        ).fetchall()
    return History(tuple(Summary(*row) for row in rows), _met(notes))


def _met(rows: Sequence[Any]) -> tuple[Met, ...]:
    met: dict[tuple[str, str], dict[int, tuple[int, ...]]] = {}
    for term, family, session, third in rows:
        thirds = met.setdefault((term, family), {})
        thirds[session] = (*thirds.get(session, ()), third)
    found = [Met(term, family, thirds) for (term, family), thirds in met.items()]
    return tuple(sorted(found, key=lambda m: (-len(m.thirds), m.term, m.family)))
