"""`.ashdraft/reading.json`: a run's own reading, as it was before any change made at the desk.

`notes.json` holds the notes with those changes, and neither the checks nor the word times. The
changes of the journal are applied to what stands here, always from the beginning.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from ..export.folder import read_folder
from ..export.notes import from_document, to_document
from ..export.words import said_json, with_words, words_in
from ..model import Check, Notes, Repair, Said
from ..output import WORK, atomic_write

FILE = "reading.json"
FORMAT = "ashdraft-reading"
VERSION = 1


@dataclass(frozen=True, slots=True)
class Kept:
    """A reading as it was written: `said` with word times, and how the draft was asked for."""

    notes: Notes
    said: tuple[Said, ...]
    caution: bool = True
    blind: bool = False


def kept_json(kept: Kept) -> str:
    """Return the file's text. The same reading gives the same text."""
    notes = kept.notes
    reading = notes.reading
    spoken = replace(notes, typed_facts={}, sheet=None)
    document = {
        "format": FORMAT,
        "version": VERSION,
        "caution": kept.caution,
        "blind": kept.blind,
        "kind": reading.kind,
        "notes": to_document(spoken),
        "spoken_facts": dict(reading.facts),
        "typed_facts": dict(notes.typed_facts),
        "fact_evidence": {key: list(ids) for key, ids in reading.fact_evidence.items()},
        "repairs": [asdict(r) for r in notes.repairs],
        "reading_checks": [asdict(c) for c in reading.checks],
        "checks": [asdict(c) for c in notes.checks],
        "said": json.loads(said_json(kept.said)),
    }
    return json.dumps(document, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def read_kept(folder: Path) -> Kept:
    """Return the reading kept in the session `folder`.

    Where there is none, or it is damaged, the notes as they stand are taken for it; they have
    no checks. Raises `InputMissing` or `TranscriptDamaged` where there are no notes either.
    """
    try:
        return _read(json.loads((folder / WORK / FILE).read_text("utf-8")))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        found = read_folder(folder)
        return Kept(replace(found.notes, sheet=None), found.said)


def keep(folder: Path, kept: Kept) -> None:
    """Keep a reading in a session folder that has none, before its notes are changed.

    Raises `OSError`.
    """
    path = folder / WORK / FILE
    if not path.is_file():
        path.parent.mkdir(mode=0o700, exist_ok=True)
        atomic_write(path, kept_json(kept).encode())


def _read(document: Any) -> Kept:
    if document["format"] != FORMAT or document["version"] != VERSION:
        raise ValueError("another format")
    notes = from_document(document["notes"])
    evidence = {str(key): tuple(ids) for key, ids in document["fact_evidence"].items()}
    reading = replace(
        notes.reading,
        kind=document["kind"],
        facts=dict(document["spoken_facts"]),
        fact_evidence=evidence,
        checks=_checks(document["reading_checks"]),
    )
    whole = replace(
        notes,
        reading=reading,
        repairs=tuple(Repair(**row) for row in document["repairs"]),
        checks=_checks(document["checks"]),
        typed_facts=dict(document["typed_facts"]),
    )
    said = with_words(reading.utterances, words_in(document["said"]))
    return Kept(whole, said, bool(document["caution"]), bool(document["blind"]))


def _checks(rows: Any) -> tuple[Check, ...]:
    return tuple(Check(c["kind"], c["message"], tuple(c["utterances"])) for c in rows)
