"""`taps.jsonl`: what the reviewer pressed and typed while recording, one JSON object a line.

The first line says when the recording began. Every later line has the moment it is of, and one of
`tap` (below), `note` (typed words) or `mark` (what happened to the recording itself). A line is on
disk before it is confirmed; one that was cut short by a crash is passed over.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Literal, get_args

FILE = "taps.jsonl"
FORMAT = "ashdraft-taps"
VERSION = 1
TapKind = Literal["touch-up", "relight", "ash-drop", "next-third", "put-down"]
TAP_KINDS: tuple[TapKind, ...] = get_args(TapKind)
RecordingMark = Literal["pause", "resume", "stop", "lost", "back"]
"""`lost` and `back`: the microphone, or the page that recorded, was gone for a while."""
MARKS: tuple[RecordingMark, ...] = get_args(RecordingMark)
LONGEST_NOTE = 2000
"""Characters."""


@dataclass(frozen=True, slots=True)
class Tap:
    kind: TapKind
    moment: datetime


@dataclass(frozen=True, slots=True)
class Typed:
    text: str
    moment: datetime


@dataclass(frozen=True, slots=True)
class Log:
    """What `taps.jsonl` holds. `key` is the recording's name between phone and server.

    `numbers` are those of the entries that came from a phone. `stopped` is true once the last
    thing that happened to the recording was its end. `text` is the file's own.
    """

    begun: datetime
    key: str | None
    taps: tuple[Tap, ...] = ()
    notes: tuple[Typed, ...] = ()
    numbers: frozenset[int] = frozenset()
    stopped: bool = False
    text: str = ""


def begin(folder: Path, begun: datetime, key: str | None = None) -> None:
    """Make `folder` a recording. Raises OSError, also where it is one already."""
    folder.mkdir(parents=True, exist_ok=True)
    head = {"format": FORMAT, "version": VERSION, "begun": _written(begun)}
    _add(folder, head | ({"key": key} if key else {}), "x")


def tap(folder: Path, kind: TapKind, moment: datetime, number: int | None = None) -> None:
    """Add a tap."""
    _add(folder, _entry("tap", kind, moment, number))


def note(folder: Path, text: str, moment: datetime, number: int | None = None) -> None:
    """Add typed words."""
    _add(folder, _entry("note", text, moment, number))


def mark(folder: Path, what: RecordingMark, moment: datetime, number: int | None = None) -> None:
    """Add what happened to the recording."""
    _add(folder, _entry("mark", what, moment, number))


def read(path: Path) -> Log | None:
    """Read a `taps.jsonl`; None where it is not there or its first line is no such head."""
    try:
        text = path.read_text(encoding="utf-8")
        lines = text.splitlines()
        head = json.loads(lines[0])
        if head["format"] != FORMAT:
            return None
        begun, key = datetime.fromisoformat(head["begun"]), head.get("key")
    except (OSError, ValueError, KeyError, TypeError, IndexError):
        return None
    rows = [row for row in map(_row, lines[1:]) if row is not None]
    happened = [row["mark"] for _, row in rows if row.get("mark") in MARKS]
    return Log(
        begun,
        key if isinstance(key, str) else None,
        tuple(Tap(row["tap"], moment) for moment, row in rows if row.get("tap") in TAP_KINDS),
        tuple(Typed(row["note"], moment) for moment, row in rows if _is_note(row)),
        frozenset(row["n"] for _, row in rows if isinstance(row.get("n"), int)),
        bool(happened) and happened[-1] == "stop",
        text,
    )


def _is_note(row: Mapping[str, Any]) -> bool:
    return isinstance(row.get("note"), str) and bool(row["note"].strip())


def _row(line: str) -> tuple[datetime, dict[str, Any]] | None:
    try:
        row = json.loads(line)
        moment = datetime.fromisoformat(row["moment"])
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return (moment, row) if moment.tzinfo is not None else None


def _entry(name: str, value: str, moment: datetime, number: int | None) -> dict[str, Any]:
    entry: dict[str, Any] = {"moment": _written(moment), name: value}
    return entry if number is None else {**entry, "n": number}


def _written(moment: datetime) -> str:
    return moment.isoformat(timespec="milliseconds")


def _add(folder: Path, entry: Mapping[str, Any], mode: str = "a") -> None:
    text = json.dumps(entry, ensure_ascii=False) + "\n"
    with (folder / FILE).open(f"{mode}b") as file:
        if file.tell() and not _ends_whole(folder / FILE):
            text = "\n" + text
        file.write(text.encode())
        file.flush()
        os.fsync(file.fileno())


def _ends_whole(path: Path) -> bool:
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
