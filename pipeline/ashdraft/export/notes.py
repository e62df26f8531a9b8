"""`notes.json`: `Notes` to JSON and back, with the keys of docs/notes-format.md and no others."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from ..errors import TranscriptDamaged
from ..facts import NOTES_FACTS, merged
from ..model import (
    Chapter,
    Count,
    Descriptor,
    Event,
    FactValue,
    MadeBy,
    Mark,
    MarkedRow,
    MarkedSection,
    MarkedSheet,
    Notes,
    Reading,
    Recording,
    Repair,
    Tapped,
    Timing,
    Utterance,
)
from .schema import NotesInvalid, validate

FORMAT = "ashdraft-notes"
VERSION = 1
SECONDS = ("start", "end", "offset", "duration", "confidence", *Timing.__dataclass_fields__)
"""Rounded to three decimals: a millisecond, and as much as a confidence is worth."""


def notes_json(notes: Notes) -> str:
    """Return the text of `notes.json`; the same notes always give the same text.

    Facts are the spoken ones with the typed ones over them. Suggested repairs that were not
    made are left out: `said` does not hold them. Raises `NotesInvalid` for notes that break
    the format, which is a fault of the program.
    """
    return _text(to_document(notes))


def with_sheet(text: str, sheet: MarkedSheet) -> str:
    """Return the text of a `notes.json` with the tallied sheet in it; nothing else changes.

    Raises `TranscriptDamaged` where `text` is no such file.
    """
    return _text({**_document(text), "sheet": _sheet(sheet)})


def to_document(notes: Notes) -> dict[str, Any]:
    """Return `notes.json` as plain dicts and lists, not yet validated."""
    reading = notes.reading
    return {
        "format": FORMAT,
        "version": VERSION,
        "made_by": asdict(notes.made_by),
        "recordings": _rows(notes.recordings),
        "utterances": _rows(reading.utterances),
        "descriptors": _rows(reading.descriptors),
        "events": _rows(reading.events),
        "counts": {
            "touch_ups": _row(reading.touch_ups),
            "relights": _row(reading.relights),
        },
        "facts": _facts(merged(reading.facts, notes.typed_facts)),
        "timing": _row(reading.timing),
        "marks": _rows(reading.marks),
        "chapters": _rows(reading.chapters),
        "repairs": [_without_applied(r) for r in notes.repairs if r.applied],
        **({"sheet": _sheet(notes.sheet)} if notes.sheet else {}),
        **({"taps": _rows(notes.taps)} if notes.taps else {}),
    }


def read_notes(text: str) -> Notes:
    """Return the `Notes` that the text of a `notes.json` holds.

    The format keeps no checks and no word times, and spoken and typed facts are one there, so
    these come back empty or as spoken. Notes with an event are of a live session, as a
    narration has none; so are taps. Raises `TranscriptDamaged` where the text is not such notes.
    """
    return from_document(_document(text))


def from_document(document: Mapping[str, Any]) -> Notes:
    """Return the `Notes` of a valid document, as `to_document` makes it."""
    counts = document["counts"]
    reading = Reading(
        kind="live" if document["events"] or document.get("taps") else "narration",
        utterances=tuple(Utterance(**row) for row in document["utterances"]),
        descriptors=tuple(Descriptor(**row) for row in document["descriptors"]),
        events=tuple(Event(**row) for row in document["events"]),
        touch_ups=_count(counts["touch_ups"]),
        relights=_count(counts["relights"]),
        facts={k: v for k, v in document["facts"].items() if v is not None},
        timing=Timing(**document["timing"]),
        marks=tuple(Mark(**row) for row in document["marks"]),
        chapters=tuple(Chapter(**row) for row in document["chapters"]),
    )
    return Notes(
        made_by=MadeBy(**document["made_by"]),
        recordings=tuple(Recording(**row) for row in document["recordings"]),
        reading=reading,
        repairs=tuple(Repair(**row) for row in document["repairs"]),
        sheet=_read_sheet(document["sheet"]) if "sheet" in document else None,
        taps=tuple(Tapped(**row) for row in document.get("taps", ())),
    )


def _document(text: str) -> dict[str, Any]:
    again = "Write the file again from its recording: ashdraft write RECORDING"
    try:
        document: dict[str, Any] = json.loads(text)
    except (ValueError, RecursionError):
        raise TranscriptDamaged("The notes are not JSON.", again) from None
    try:
        validate(document)
    except NotesInvalid as fault:
        raise TranscriptDamaged(f"These are not Ashdraft notes: {fault}.", again) from None
    return document


def _text(document: Mapping[str, Any]) -> str:
    validate(document)
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _sheet(sheet: MarkedSheet) -> dict[str, Any]:
    row = _row(sheet)
    return {**row, "rows": _rows(sheet.rows), "sections": _rows(sheet.sections)}


def _read_sheet(row: Mapping[str, Any]) -> MarkedSheet:
    return MarkedSheet(
        name=row["name"],
        closed=row["closed"],
        rows=tuple(MarkedRow(**r) for r in row["rows"]),
        sections=tuple(MarkedSection(**s) for s in row["sections"]),
        total=row["total"],
        unmarked=tuple(row["unmarked"]),
    )


def _rows(records: Iterable[Any]) -> list[dict[str, Any]]:
    return [_row(record) for record in records]


def _row(record: Any) -> dict[str, Any]:
    """Return a record's fields in their order; seconds rounded, tuples as lists."""
    return {key: _plain(key, value) for key, value in asdict(record).items()}


def _plain(key: str, value: Any) -> Any:
    if isinstance(value, tuple):
        return list(value)
    if key in SECONDS and isinstance(value, float):
        return round(value, 3) + 0.0
    return value


def _without_applied(repair: Repair) -> dict[str, Any]:
    row = _row(repair)
    del row["applied"]
    return row


def _facts(facts: Mapping[str, FactValue]) -> dict[str, FactValue]:
    return {key: facts[key] for key in NOTES_FACTS if key in facts}


def _count(row: Mapping[str, Any]) -> Count:
    first, second, final = row["by_third"]
    return Count(row["total"], (first, second, final), tuple(row["utterances"]))
