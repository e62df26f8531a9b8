"""Which sessions match, and where in them."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import UsageError
from .listing import Summary, summary_of
from .matching import Range, full_text, matcher, name_key
from .opened import reading
from .rows import SPAN

COLUMNS = {
    "cigar": "name",
    "maker": "maker",
    "wrapper": "wrapper",
    "origin": "country",
    "format": "format",
}
"""Columns of `session` that are searched by their words, by the name in `Search`."""
LISTED = "IN (SELECT value FROM json_each(?))"
INDEXED = {
    ("descriptor", "term"),
    ("descriptor", "family"),
    ("sheet_row", "criterion"),
    ("spoken_mark", "item"),
}
"""Columns that lead an index and hold few different values in many rows."""
HITS = 3
"""Places shown of each session for each thing that was searched."""


@dataclass(frozen=True, slots=True)
class Search:
    """What a session must have; everything that is given must hold.

    `notes` are words of tasting notes; `family` (words of its name), `third`, `polarity` (None:
    either) and `source` must hold of the same tasting note, and `third` of the sentence of `text`
    as well. `marks` are
    typed marks by criterion or section of a sheet, `said_marks` spoken ones by what they were
    said of. `cigar` to `format`, and `sheet`, are words of these names. `since` and `until` are
    days, months or years.
    """

    notes: tuple[str, ...] = ()
    family: str | None = None
    third: int | None = None
    polarity: str | None = "present"
    source: str | None = None
    text: str | None = None
    cigar: str | None = None
    maker: str | None = None
    wrapper: str | None = None
    origin: str | None = None
    format: str | None = None
    sheet: str | None = None
    price: Range | None = None
    total: Range | None = None
    marks: tuple[tuple[str, Range], ...] = ()
    said_marks: tuple[tuple[str, Range], ...] = ()
    since: str | None = None
    until: str | None = None


@dataclass(frozen=True, slots=True)
class Hit:
    """A place in a session: seconds (None for a typed mark) and what is there."""

    start: float | None
    what: str


@dataclass(frozen=True, slots=True)
class Found:
    """One session that matches, and the first few places."""

    session: Summary
    hits: tuple[Hit, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """`sql` gives sessions; `hits`, if any, gives (start, what) of the one at `{session}`.

    Both take `values`.
    """

    sql: str
    values: tuple[object, ...]
    hits: str = ""


def find(path: Path, search: Search, limit: int | None = 20) -> tuple[tuple[Found, ...], int]:
    """Return the newest `limit` sessions that match (None: all), and how many match.

    Raises `UsageError` for a search that cannot be answered.
    """
    with reading(path) as connection:
        conditions = tuple(_conditions(connection, search))
        where = " AND ".join(f"session.id IN ({c.sql})" for c in conditions) or "1"
        values = [value for c in conditions for value in c.values]
        ids = connection.execute(
            f"SELECT id FROM session WHERE {where} ORDER BY day DESC, id DESC", values
        ).fetchall()
        found = tuple(
            Found(summary_of(connection, row[0]), tuple(_hits(connection, conditions, row[0])))
            for row in ids[:limit]
        )
    return found, len(ids)


def _hits(
    connection: sqlite3.Connection, conditions: Sequence[Condition], session: int
) -> Iterator[Hit]:
    for condition in conditions:
        if condition.hits:
            sql = condition.hits.format(session=session)
            rows = connection.execute(sql, condition.values)
            yield from (Hit(*row) for row in rows.fetchmany(HITS))


def _conditions(connection: sqlite3.Connection, search: Search) -> Iterator[Condition]:
    if search.text:
        yield _said(search.text, search.third)
    if search.notes or search.family or search.source or (search.third and not search.text):
        for note in search.notes or (None,):
            yield _noted(connection, search, note)
    for name, column in COLUMNS.items():
        if query := getattr(search, name):
            yield _worded(connection, column, query)
    for item, wanted in search.marks:
        yield _marked(connection, item, wanted)
    for item, wanted in search.said_marks:
        yield _said_mark(connection, item, wanted)
    yield from _figures(connection, search)


def _said(query: str, third: int | None) -> Condition:
    """The full-text index alone gives the sessions; it holds each sentence's third as well."""
    match = f"{{said text}} : ({full_text(query)})"
    if third:
        match += f" AND third : {third}"
    return Condition(
        f"SELECT DISTINCT rowid / {SPAN} FROM words WHERE words MATCH ?",
        (match,),
        "SELECT utterance.start, utterance.text FROM words JOIN utterance "
        "ON utterance.id = words.rowid WHERE words MATCH ? AND words.rowid BETWEEN "
        f"{{session}} * {SPAN} AND {{session}} * {SPAN} + {SPAN - 1} ORDER BY words.rowid",
    )


def _noted(connection: sqlite3.Connection, search: Search, note: str | None) -> Condition:
    asked = {
        "third": search.third,
        "polarity": search.polarity,
        "source": search.source,
    }
    given = {column: value for column, value in asked.items() if value is not None}
    tests = [f"{column} = ?" for column in given]
    values: list[object] = list(given.values())
    for column, query in (("term", note), ("family", search.family)):
        if query is not None:
            tests.append(f"{column} {LISTED}")
            values.append(_held(connection, "descriptor", column, matcher(query)))
    where = " AND ".join(tests)
    return Condition(
        f"SELECT session FROM descriptor WHERE {where}",
        tuple(values),
        "SELECT start, term || CASE polarity WHEN 'absent' THEN ' (not there)' ELSE '' END || "
        "coalesce(', third ' || third, '') || ': ' || quote "
        f"FROM descriptor WHERE session = {{session}} AND {where} ORDER BY place",
    )


def _worded(connection: sqlite3.Connection, column: str, query: str) -> Condition:
    held = _held(connection, "session", column, matcher(query))
    return Condition(f"SELECT id FROM session WHERE {column} {LISTED}", (held,))


def _marked(connection: sqlite3.Connection, item: str, wanted: Range) -> Condition:
    """Marks of a criterion, and totals of a section, of that name."""
    rows = f"FROM sheet_row WHERE criterion {LISTED} AND mark BETWEEN ? AND ?"
    parts = f"FROM sheet_section WHERE section {LISTED} AND total BETWEEN ? AND ?"
    limits, same = (wanted.lowest, wanted.highest), _same(item)
    return Condition(
        f"SELECT session {rows} UNION SELECT session {parts}",
        (
            _held(connection, "sheet_row", "criterion", same),
            *limits,
            _held(connection, "sheet_section", "section", same),
            *limits,
        ),
        f"SELECT NULL, printf('%s %g', criterion, mark) {rows} AND session = {{session}} "
        f"UNION ALL SELECT NULL, printf('%s, section total %g', section, total) {parts} "
        "AND session = {session}",
    )


def _said_mark(connection: sqlite3.Connection, item: str, wanted: Range) -> Condition:
    where = f"FROM spoken_mark WHERE item {LISTED} AND value BETWEEN ? AND ?"
    held = _held(connection, "spoken_mark", "item", _same(item))
    return Condition(
        f"SELECT session {where}",
        (held, wanted.lowest, wanted.highest),
        "SELECT NULL, printf('%s, said: %g', item, value) || "
        f"coalesce(printf(' of %g', scale), '') {where} AND session = {{session}}",
    )


def _figures(connection: sqlite3.Connection, search: Search) -> Iterator[Condition]:
    if search.price:
        yield _priced(connection, search.price)
    if search.total:
        limits = (search.total.lowest, search.total.highest)
        yield Condition("SELECT session FROM sheet WHERE total BETWEEN ? AND ?", limits)
    if search.sheet:
        held = _held(connection, "sheet", "name", matcher(search.sheet))
        yield Condition(f"SELECT session FROM sheet WHERE name {LISTED}", (held,))
    if search.since:
        yield Condition("SELECT id FROM session WHERE day >= ?", (search.since,))
    if search.until:
        until = "SELECT id FROM session WHERE substr(day, 1, ?) <= ?"
        yield Condition(until, (len(search.until), search.until))


def _priced(connection: sqlite3.Connection, wanted: Range) -> Condition:
    """A price means nothing without its currency where the archive holds several."""
    limits = (wanted.lowest, wanted.highest)
    priced = "SELECT id FROM session WHERE price BETWEEN ? AND ?"
    if wanted.currency:
        return Condition(f"{priced} AND currency = ?", (*limits, wanted.currency))
    held = sorted(_distinct(connection, "session", "currency"))
    if len(held) > 1:
        raise UsageError(
            f"Prices in the archive are in {', '.join(held)}; which one is meant?",
            f"Type the currency too: --price '5..10 {held[0]}'",
        )
    return Condition(priced, limits)


def _same(item: str) -> Callable[[str], bool]:
    key = name_key(item)
    return lambda name: name_key(name) == key


def _held(
    connection: sqlite3.Connection, table: str, column: str, fits: Callable[[str], bool]
) -> str:
    """Return, as a JSON list, those of a column's values that fit; each is looked at once."""
    return json.dumps([value for value in _distinct(connection, table, column) if fits(value)])


def _distinct(connection: sqlite3.Connection, table: str, column: str) -> list[str]:
    """Return a column's different values; along an index, by steps from one to the next."""
    if (table, column) not in INDEXED:
        sql = f"SELECT DISTINCT {column} FROM {table} WHERE {column} IS NOT NULL"
    else:
        sql = (
            f"WITH RECURSIVE step(v) AS (SELECT min({column}) FROM {table} UNION ALL "
            f"SELECT (SELECT min({column}) FROM {table} WHERE {column} > v) FROM step "
            "WHERE v IS NOT NULL LIMIT 100000) SELECT v FROM step WHERE v IS NOT NULL"
        )
    return [row[0] for row in connection.execute(sql)]
