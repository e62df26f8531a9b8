"""What `ashdraft archive` prints: aligned plain text, or JSON."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from textwrap import wrap
from typing import Any

from ..archive import Found, History, Kept, Met, Removed, Session, Summary
from ..export.clock import chapter_time
from ..progress import printable
from ..sheet.printed import heading, printed

WIDTH = 80
LABEL = 14
APART = ("name", "maker", "disclosure", "currency")
"""Facts that are not listed among the others: they stand in a place of their own."""
THIRDS = {1: "first third", 2: "second third", 3: "final third", None: "no third"}


def as_document(records: Any) -> str:
    """Return records as JSON, with their fields as keys."""
    many = isinstance(records, tuple)
    plain = [asdict(record) for record in records] if many else asdict(records)
    return json.dumps(plain, indent=2, ensure_ascii=False)


def lines(texts: Iterable[str]) -> str:
    """Return texts a line each, control characters shown as escapes."""
    return "\n".join(printable(text) for text in texts)


def aligned(rows: Sequence[Sequence[str]], right: Sequence[int] = ()) -> list[str]:
    """Return rows in columns as wide as their widest cell; the `right` ones end in line."""
    from rich.cells import cell_len

    clean = [[printable(cell) for cell in row] for row in rows]
    widths = [max(map(cell_len, column)) for column in zip(*clean, strict=True)]
    found = []
    for row in clean:
        cells = []
        for at, (cell, width) in enumerate(zip(row, widths, strict=True)):
            room = " " * (width - cell_len(cell))
            cells.append(room + cell if at in right else cell + room)
        found.append("  ".join(cells).rstrip())
    return found


def kept(sessions: Sequence[Kept]) -> str:
    """Return a line for each session that was kept, and what looks like a double."""
    found = []
    for one in sessions:
        found.append(f"{'Replaced' if one.replaced else 'Added'} {one.session}: {one.title}")
        if one.withheld:
            found.append("  The draft is blind. Close its tally and add it again, for its name.")
        if one.lost:
            found.append(
                f"  It had {' and '.join(one.lost)} when it came from {one.before}, and has "
                "none now."
            )
        for other in one.related:
            found.append(
                f"  It shares a recording with session {other}. If that is an earlier draft of "
                f"it, type: ashdraft archive remove {other}"
            )
    return lines(found)


def removed(sessions: Sequence[Removed]) -> str:
    """Return a line for each session that was removed, and what is out of reach."""
    return lines(
        [
            *(f"Removed {one.session}: {one.title}" for one in sessions),
            "No word of it is left in the archive's file. Not reached, and left alone:",
            "  copies of the archive, exports, recordings",
            *(f"  {one.folder}" for one in sessions),
        ]
    )


def listed(sessions: Sequence[Summary]) -> str:
    """Return the table of sessions."""
    if not sessions:
        return "The archive is empty. Add a session: ashdraft archive add FOLDER"
    head = ("No", "Day", "Cigar", "Format", "Wrapper", "Country", "Price", "Total")
    return "\n".join(aligned([head, *map(_row, sessions)], right=(0, 6, 7)))


def found(sessions: Sequence[Found], number: int) -> str:
    """Return the sessions that match, each with the places that do under it."""
    if not sessions:
        return "No session matches."
    head, *rows = listed([one.session for one in sessions]).split("\n")
    text = [head]
    for row, one in zip(rows, sessions, strict=True):
        text.append(row)
        times = [chapter_time(int(h.start)) if h.start is not None else "" for h in one.hits]
        text += [printable(f"{t:>12}  {h.what}") for t, h in zip(times, one.hits, strict=True)]
    if number > len(sessions):
        text.append(f"{len(sessions)} of {number} shown; --limit 0 shows all.")
    return "\n".join(text)


def session(one: Session) -> str:
    """Return one session: facts, counts, notes by third, and marks."""
    summary, document = one.summary, one.document
    facts = {**document["facts"], **one.typed}
    known = {key: value for key, value in facts.items() if value is not None}
    shown = [f"{heading(key)} {printed(key, known)}" for key in known if key not in APART]
    head = [f"Session {summary.id}, {summary.title}", summary.day or "day not known"]
    return "\n".join(
        [
            printable(", ".join(head)),
            *_block("Facts", shown),
            *_block("Disclosure", [one.typed[key] for key in ("disclosure",) if key in one.typed]),
            *_block("Touch-ups", _count(document["counts"]["touch_ups"])),
            *_block("Relights", _count(document["counts"]["relights"])),
            *_notes(document["descriptors"]),
            *_block("Said marks", [_mark(m) for m in document["marks"]]),
            *_sheet(document.get("sheet")),
            *_block("Folder", [summary.folder]),
        ]
    )


def history(cigar: History) -> str:
    """Return a cigar's sessions over time and in which of them each note was met."""
    columns = ("No", "Day", "Format", "Price", "Rest days", "RH %", "Minutes", "Touch-ups",
               "Relights", "Total")  # fmt: skip
    rows = [
        (
            str(s.id), s.day or "", s.format or "", _price(s), _figure(s.rest_days),
            _figure(s.rh_percent), _figure(s.smoking_minutes), _figure(s.touch_ups),
            _figure(s.relights), _figure(s.total),
        )
        for s in cigar.sessions
    ]  # fmt: skip
    titles = dict.fromkeys(s.title for s in cigar.sessions)
    text = [printable("; ".join(titles)), *aligned([columns, *rows], right=(0, *range(3, 10)))]
    by_number: dict[int, list[Met]] = defaultdict(list)
    for met in cigar.notes:
        by_number[len(met.thirds)].append(met)
    for number, notes in sorted(by_number.items(), reverse=True):
        label = f"In {number} of {len(cigar.sessions)}"
        text += _block(label, [f"{met.term}{_thirds(met)}" for met in notes])
    return "\n".join(text)


def _row(s: Summary) -> tuple[str, ...]:
    return (
        str(s.id), s.day or "", s.title, s.format or "", s.wrapper or "", s.country or "",
        _price(s), _figure(s.total),
    )  # fmt: skip


def _price(s: Summary) -> str:
    return f"{s.currency or ''} {s.price:.2f}".strip() if s.price is not None else ""


def _figure(value: float | None) -> str:
    return f"{value:g}" if value is not None else ""


def _block(label: str, items: Sequence[str]) -> list[str]:
    """Return items behind a label, wrapped between words; nothing where there are none."""
    text = wrap("; ".join(map(printable, items)), WIDTH - LABEL, break_long_words=False,
                break_on_hyphens=False)  # fmt: skip
    return [f"{'' if at else label:<{LABEL}}{line}" for at, line in enumerate(text)]


def _count(count: dict[str, Any]) -> list[str]:
    if not count["total"] and not count["utterances"]:
        return ["not mentioned"]
    first, second, final = count["by_third"]
    return [f"{count['total']} (by thirds {first}, {second}, {final})"]


def _notes(descriptors: Sequence[dict[str, Any]]) -> list[str]:
    text: list[str] = []
    for third, name in THIRDS.items():
        here = [d for d in descriptors if d["third"] == third]
        terms = {d["term"]: None for d in here if d["polarity"] == "present"}
        text += _block(name.capitalize(), list(terms))
    absent = {_placed(d): None for d in descriptors if d["polarity"] == "absent"}
    return text + _block("Not there", list(absent))


def _placed(descriptor: dict[str, Any]) -> str:
    third = descriptor["third"]
    return f"{descriptor['term']} ({third})" if third else str(descriptor["term"])


def _mark(mark: dict[str, Any]) -> str:
    scale = f" of {mark['scale']:g}" if mark["scale"] else ""
    return f"{mark['item']} {mark['value']:g}{scale}"


def _sheet(sheet: dict[str, Any] | None) -> list[str]:
    if not sheet:
        return []
    total = _figure(sheet["total"]) or "open"
    marks = [f"{row['id']} {row['mark']:g}" for row in sheet["rows"] if row["mark"] is not None]
    return [
        *_block("Sheet", [sheet["name"], f"total {total}"]),
        *_block("Marks", marks),
    ]


def _thirds(met: Met) -> str:
    """Return the thirds a note came in, over all sessions: ` (1, 3)`."""
    thirds = sorted({third for told in met.thirds.values() for third in told if third})
    return f" ({', '.join(map(str, thirds))})" if thirds else ""
