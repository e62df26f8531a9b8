"""One session as the rows of its tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ..facts import NOTES_FACTS
from .entry import TYPED, Entry

SPAN = 1_000_000
"""An utterance's id is its session's times SPAN, plus its place: so the full-text index alone
tells which sessions hold a word."""

LISTS = (
    ("recording", "recordings", ("file", "sha256", "offset", "duration", "recorded_at")),
    ("descriptor", "descriptors", (
        "term", "family", "polarity", "source", "intensity", "section", "third", "utterance",
        "start", "quote",
    )),
    ("event", "events", ("kind", "third", "utterance", "start")),
    ("spoken_mark", "marks", ("item", "value", "scale", "utterance")),
    ("chapter", "chapters", ("start", "title", "section", "third")),
    ("repair", "repairs", ("heard", "meant", "utterance", "reason", "confidence")),
)  # fmt: skip
"""Tables that hold a list of notes.json as it is: table, key in notes.json, fields."""
SAID = ("start", "end", "heard", "said", "text", "section", "third", "third_basis", "confidence")

Row = tuple[str, Mapping[str, Any]]


def rows(entry: Entry, session: int, identity: str, added_at: str) -> Iterator[Row]:
    """Yield (table, values by column), a row that is pointed at before those that point at it."""
    document = entry.document
    yield (
        "session",
        {
            "id": session,
            "identity": identity,
            "folder": _stored(entry.folder),
            "added_at": added_at,
            "day": entry.day,
            "title": _stored(entry.title),
            **{key: _stored(entry.typed.get(key)) for key in TYPED},
            **{key: _stored(document["facts"].get(key)) for key in NOTES_FACTS},
            **document["timing"],
            **_fields(document["made_by"], tuple(document["made_by"])),
        },
    )
    yield "document", {"session": session, "notes": entry.notes}
    for place, utterance in enumerate(document["utterances"]):
        key = {"id": session * SPAN + place, "session": session, "number": utterance["id"]}
        yield "utterance", key | _fields(utterance, SAID)
    for table, name, fields in LISTS:
        for place, row in enumerate(document[name]):
            yield table, {"session": session, "place": place} | _fields(row, fields)
    yield from _counts(document["counts"], session)
    if sheet := document.get("sheet"):
        yield from _sheet(sheet, session)


def _counts(counts: Mapping[str, Any], session: int) -> Iterator[Row]:
    """A count about which nothing was said has a row without numbers: that is no zero."""
    for kind, count in counts.items():
        told = bool(count["total"] or count["utterances"])
        first, second, final = count["by_third"] if told else (None, None, None)
        yield (
            "counts",
            {
                "session": session,
                "kind": kind,
                "total": count["total"] if told else None,
                "first_third": first,
                "second_third": second,
                "final_third": final,
            },
        )
        for place, utterance in enumerate(count["utterances"]):
            key = {"session": session, "kind": kind, "place": place}
            yield "counts_evidence", key | {"utterance": utterance}


def _sheet(sheet: Mapping[str, Any], session: int) -> Iterator[Row]:
    yield (
        "sheet",
        {
            "session": session,
            "name": _stored(sheet["name"]),
            "closed": bool(sheet["closed"]),
            "total": sheet["total"],
        },
    )
    for section in sheet["sections"]:
        yield (
            "sheet_section",
            {
                "session": session,
                "section": section["id"],
                "total": section["total"],
                "weight_marked": section["weight_marked"],
            },
        )
    for place, row in enumerate(sheet["rows"]):
        yield (
            "sheet_row",
            {
                "session": session,
                "place": place,
                "criterion": row["id"],
                "section": row["section"],
                "mark": row["mark"],
                "comment": _stored(row["comment"]),
                "unmarked": row["id"] in sheet["unmarked"],
            },
        )


def _fields(row: Mapping[str, Any], fields: Sequence[str]) -> dict[str, Any]:
    return {field: _stored(row[field]) for field in fields}


def _stored(value: Any) -> Any:
    """Half a surrogate pair, which JSON can hold and UTF-8 cannot, becomes a question mark."""
    return value.encode("utf-8", "replace").decode() if isinstance(value, str) else value
