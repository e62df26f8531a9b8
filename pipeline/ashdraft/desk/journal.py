"""`journal.jsonl`: what was changed at the desk, a line a change, and nothing else.

Lines are only ever added. A change is taken back by another line. What was heard is never edited:
`apply` puts the changes over a reading, fresh each time, so that they outlive a new run.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..model import Check, Notes
from .changes import change
from .entry import Entry, entry_of, line_of
from .working import Lost, Working

FILE = "journal.jsonl"


@dataclass(frozen=True, slots=True)
class Applied:
    """Notes with the changes in them, and what became of the changes.

    `struck` and `changed` are ids of utterances of `notes`, `lost` the numbers of lines (from 1)
    that found no place. `settled` are the repairs that were accepted, as (id, heard, meant).
    """

    notes: Notes
    struck: frozenset[int]
    changed: frozenset[int]
    settled: frozenset[tuple[int, str, str]]
    lost: tuple[int, ...]


def apply(notes: Notes, journal: Sequence[Entry | None]) -> Notes:
    """Return `notes` with the changes of a journal.

    Pure: the same two give the same notes. A change that finds its sentence no more is left out
    and becomes a check. Ids of utterances are counted anew, as sentences come and go.
    """
    return applied(notes, journal).notes


def applied(notes: Notes, journal: Sequence[Entry | None]) -> Applied:
    """Do what `apply` does, and tell what became of each change."""
    working = Working(notes)
    lost = []
    for number in standing(journal):
        entry = journal[number - 1]
        assert entry is not None
        try:
            change(working, entry)
        except Lost:
            lost.append(number)
    checks = [_check(journal, lost)] if lost else []
    made, ids = working.done(checks)
    return Applied(
        notes=made,
        struck=frozenset(ids[key] for key in working.struck if key in ids),
        changed=frozenset(ids[key] for key in working.changed if key in ids),
        settled=frozenset((ids[k], h, m) for k, h, m in working.settled if k in ids),
        lost=tuple(lost),
    )


def standing(journal: Sequence[Entry | None]) -> list[int]:
    """Return the numbers (from 1) of the changes that were not taken back, in order."""
    back: set[int] = set()
    found = []
    for number in range(len(journal), 0, -1):
        entry = journal[number - 1]
        if entry is None or number in back:
            continue
        if entry.do == "undo":
            if entry.given["line"] < number:
                back.add(entry.given["line"])
        else:
            found.append(number)
    return found[::-1]


def undoable(journal: Sequence[Entry | None]) -> int | None:
    """Return the line that an undo would take back: the last change that stands."""
    return next(iter(standing(journal)[::-1]), None)


def redoable(journal: Sequence[Entry | None]) -> int | None:
    """Return the undo line that a redo would take back, where no change was made since."""
    back: set[int] = set()
    for number in range(len(journal), 0, -1):
        entry = journal[number - 1]
        if entry is None or number in back:
            continue
        if entry.do != "undo":
            return None
        target = journal[entry.given["line"] - 1] if entry.given["line"] < number else None
        if target is not None and target.do != "undo":
            return number
        back.add(entry.given["line"])
    return None


def read_journal(folder: Path) -> tuple[Entry | None, ...]:
    """Return the journal of a session folder; a line that cannot be read is None.

    Lines keep their numbers. A missing file is an empty journal.
    """
    try:
        data = (folder / FILE).read_bytes()
    except FileNotFoundError:
        return ()
    lines = data.decode("utf-8", "replace").split("\n")
    return tuple(_entry(line) for line in (lines[:-1] if lines[-1] == "" else lines))


def append(folder: Path, entry: Entry) -> None:
    """Add one line and see it onto the disk. Raises `OSError`.

    A line that a crash left half written is closed first and stays, unreadable.
    """
    with (folder / FILE).open("a+b") as file:
        if file.tell():
            file.seek(-1, os.SEEK_END)
            if file.read(1) != b"\n":
                file.write(b"\n")
        file.write(line_of(entry).encode("utf-8", "replace") + b"\n")
        file.flush()
        os.fsync(file.fileno())


def _entry(line: str) -> Entry | None:
    try:
        return entry_of(line)
    except ValueError:
        return None


def _check(journal: Sequence[Entry | None], lost: Sequence[int]) -> Check:
    kinds = ", ".join(f"line {n} ({entry.do})" for n in lost if (entry := journal[n - 1]))
    some = "A change" if len(lost) == 1 else f"{len(lost)} changes"
    return Check(
        "input", f"{some} made at the desk found no place any more and stayed out: {kinds}."
    )
