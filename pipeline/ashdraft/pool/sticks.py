"""One session each: the notes of one stick, who smoked it and when, and which cigar it was."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from ..errors import InputMissing, UsageError
from ..export import read_folder
from ..export.folder import MADE_BY, NOTES
from ..model import FactValue, MarkedSheet, Notes, Reading
from ..output import WORK
from ..sheet import SheetDefinition
from ..sheet.keep import kept_sheet
from ..tally import is_sealed
from ..tally.front import as_text, day_of, read_front, typed_facts
from ..tally.text import read

REVIEWER = "reviewer"


@dataclass(frozen=True, slots=True)
class Stick:
    """One session. `number` counts from 1; `source` is the name of its folder.

    `facts` are those of the notes and the typed ones that only the draft holds (name, maker,
    obtained, cut, note). `day` is ISO 8601, None where no recording and no draft tells it.
    `sheet` is the one that its draft was written with, where that is known.
    """

    number: int
    source: str
    notes: Notes
    facts: Mapping[str, FactValue]
    reviewer: str | None
    day: str | None
    sheet: SheetDefinition | None = None

    @property
    def reading(self) -> Reading:
        return self.notes.reading

    @property
    def tallied(self) -> MarkedSheet | None:
        """The typed marks; None where the draft was never tallied."""
        return self.notes.sheet


def read_sticks(sessions: Sequence[str]) -> tuple[Stick, ...]:
    """Return the sticks of `sessions`: each `FOLDER`, its draft.md or notes.json, or `…@NAME`.

    They are numbered by day where every one has a day, else in the order given. Raises
    `UsageError` for fewer than two, for one recording twice and for a draft that is still
    blind, `InputMissing`, `TranscriptDamaged` and `DataDamaged` for what cannot be read.
    """
    if len(sessions) < 2:
        raise UsageError(
            "One session is no pool.", "Name two or more: ashdraft pool stick1-draft stick2-draft"
        )
    sticks = [_read(text) for text in sessions]
    _refuse_twice(sticks)
    if all(stick.day for stick in sticks):
        sticks.sort(key=lambda stick: (stick.day, _stamp(stick)))
    return tuple(replace(stick, number=n) for n, stick in enumerate(sticks, start=1))


def one_cigar(sticks: Sequence[Stick], name: str | None = None) -> str | None:
    """Return the name of the cigar, None where nobody typed one.

    Raises `UsageError` where the sticks are of different names or makers, unless `name` says
    under which one they belong together.
    """
    if name is not None and name.strip():
        return " ".join(name.split())
    for key in ("name", "maker"):
        found: dict[str, Stick] = {}
        for stick in sticks:
            if key in stick.facts:
                found.setdefault(_folded(str(stick.facts[key])), stick)
        if len(found) > 1:
            told = " and ".join(f"{s.facts[key]!r} ({s.source})" for s in found.values())
            raise UsageError(
                f"These are not sessions of one cigar: the {key} is {told}.",
                "Pool one cigar at a time. If it is one after all, say so with --name NAME.",
            )
    return next((str(s.facts["name"]) for s in sticks if "name" in s.facts), None)


def _read(text: str) -> Stick:
    path, named = _split(text)
    folder = read_folder(path)
    alone = path.suffix == ".json" and path.name != NOTES
    draft = path if path.suffix == ".md" else folder.draft
    front = {} if alone else _front_matter(draft)
    reviewer = named or front.get(REVIEWER)
    return Stick(
        0,
        path.stem if alone else folder.path.resolve().name,
        folder.notes,
        {**folder.notes.reading.facts, **typed_facts(front)},
        as_text(reviewer) or None,
        _day(folder.notes, front.get("date")),
        _sheet(front, folder.path),
    )


def _sheet(front: Mapping[str, Any], folder: Path) -> SheetDefinition | None:
    """Return the sheet that a draft was written with, None where it is not kept any more."""
    try:
        return kept_sheet(None, front.get("sheet"), folder / WORK)
    except InputMissing:
        return None


def session_path(session: str) -> Path:
    """Return the path of a session as typed, without the reviewer's name."""
    return _split(session)[0]


def _split(text: str) -> tuple[Path, str | None]:
    """Return the path and the reviewer's name; a path that exists as it stands has none."""
    path, at, name = text.rpartition("@")
    if not at or Path(text).exists():
        return Path(text), None
    if not name.strip():
        raise UsageError(f"{text} names no reviewer.", "Type SESSION@NAME, or only SESSION.")
    return Path(path), name


def _front_matter(draft: Path) -> Mapping[str, Any]:
    """Return the front matter of the draft; nothing where there is no draft beside the notes.

    Raises `UsageError` for a blind draft whose tally is not closed.
    """
    try:
        data = draft.read_bytes()
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise InputMissing(f"{draft} cannot be read: {error.strerror}.", MADE_BY) from error
    text = read(str(draft), data)
    if is_sealed(text.body) or is_sealed("".join(text.lines[: text.front])):
        raise UsageError(
            f"{draft} is still blind, and a pooled draft tells name and price.",
            f"Close its tally first: ashdraft tally {draft.parent} --close",
        )
    return read_front(text)


def _day(notes: Notes, typed: object) -> str | None:
    """The day in the draft, which the reviewer may have put right, before the recording's."""
    stamps = [r.recorded_at for r in notes.recordings if r.recorded_at]
    return day_of(typed if isinstance(typed, str | date) else min(stamps, default=None))


def _stamp(stick: Stick) -> str:
    return min((r.recorded_at for r in stick.notes.recordings if r.recorded_at), default="")


def _refuse_twice(sticks: Sequence[Stick]) -> None:
    seen: dict[str, Stick] = {}
    for stick in sticks:
        for recording in stick.notes.recordings:
            other = seen.setdefault(recording.sha256, stick)
            if other is not stick:
                raise UsageError(
                    f"{stick.source} and {other.source} hold the same recording.",
                    "Name each stick once.",
                )


def _folded(text: str) -> str:
    return "".join(re.findall(r"\w+", text.casefold()))
