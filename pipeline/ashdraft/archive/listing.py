"""A session in one line, and all sessions in their order."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from .opened import reading

SUMMARY = (
    "SELECT session.id, day, title, session.name, maker, format, country, wrapper, price, "
    "currency, smoking_minutes, rh_percent, rest_days, touch.total AS touch_ups, "
    "again.total AS relights, sheet.total AS total, sheet.name AS sheet, folder "
    "FROM session LEFT JOIN sheet ON sheet.session = session.id "
    "LEFT JOIN counts AS touch ON touch.session = session.id AND touch.kind = 'touch_ups' "
    "LEFT JOIN counts AS again ON again.session = session.id AND again.kind = 'relights' "
)


@dataclass(frozen=True, slots=True)
class Summary:
    """One session. None is what was not said, typed or tallied; `day` is YYYY-MM-DD."""

    id: int
    day: str | None
    title: str
    name: str | None
    maker: str | None
    format: str | None
    country: str | None
    wrapper: str | None
    price: float | None
    currency: str | None
    smoking_minutes: float | None
    rh_percent: float | None
    rest_days: float | None
    touch_ups: int | None
    relights: int | None
    total: float | None
    sheet: str | None
    folder: str


def list_sessions(path: Path) -> tuple[Summary, ...]:
    """Return all sessions, the newest first, those without a day last."""
    with reading(path) as connection:
        rows = connection.execute(f"{SUMMARY} ORDER BY day DESC, session.id DESC").fetchall()
    return tuple(Summary(*row) for row in rows)


def summary_of(connection: sqlite3.Connection, session: int) -> Summary:
    """Return one session, which must be there."""
    row = connection.execute(f"{SUMMARY} WHERE session.id = ?", [session]).fetchone()
    return Summary(*row)
