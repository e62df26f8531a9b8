"""One tally: the draft read, its table checked and added up, the results written into it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..errors import AshdraftError, DataDamaged, InputMissing, OutputRefused, UsageError
from ..export import read_notes
from ..export.folder import DRAFT, MADE_BY, NOTES
from ..export.notes import with_sheet
from ..facts import OBTAINED
from ..model import MarkedSheet
from ..output import WORK, atomic_write, open_folder
from ..sheet.definition import SheetDefinition, figure
from ..sheet.keep import kept_sheet
from .ask import questions
from .blind import is_sealed, unseal
from .front import KEY, read_front, with_tally
from .marks import Typed
from .place import with_block
from .report import Standing, ask_obtained, block_lines
from .sums import add_up, marked_sheet, two_decimals, unmarked
from .table import Table, read_table
from .text import Text, bare, read

HOW = "## How it was obtained"
DASH, BLANK = "-", "blank"


@dataclass(frozen=True, slots=True)
class Tallied:
    """What a tally did: the files, what was found, and whether a file was changed."""

    draft: Path
    notes: Path
    standing: Standing
    sheet: MarkedSheet
    changed: bool


def tally(
    path: Path, *, sheet: Path | None = None, obtained: str | None = None, close: bool = False
) -> Tallied:
    """Read the marks out of a draft, add them up, and write the result into it and the notes.

    `path` is the draft, or its folder; `sheet` the sheet file where the draft's own is not
    found; `obtained` says how the cigar was come by (bought, gifted, sample). With `close` the
    tally is closed: every row must be marked or dashed, and what a blind draft withheld is put
    back. Outside the tally's own block and key nothing in the draft changes. A second tally of
    the same draft writes nothing.

    Raises `DataDamaged` with the draft's line for whatever cannot be read with certainty; then
    nothing is written.
    """
    if obtained is not None and obtained not in OBTAINED:
        raise UsageError(f"--obtained cannot be {obtained!r}.", f"Use {' or '.join(OBTAINED)}.")
    draft = _draft(path)
    with _held(draft.parent):
        text = read(draft.name, _bytes(draft))
        front = read_front(text)
        definition = kept_sheet(sheet, front.get("sheet"), draft.parent / WORK)
        table = read_table(text, definition)
        notes_path = _notes(draft)
        notes_text = _bytes(notes_path).decode("utf-8", "replace")
        if close:
            _complete(draft.name, definition, table)
            text = read(draft.name, unseal(text.data.decode(), draft.parent / WORK).encode())
            front = read_front(text)
            table = read_table(text, definition)
        if obtained:
            text = _with_obtained(text, obtained)
        made, standing = _standing(text, front, table, definition, notes_text, obtained, close)
        marked = marked_sheet(definition, table.typed, closed=standing.closed)
        new_notes = with_sheet(notes_text, marked)
        changed = _write(notes_path, new_notes.encode()) | _write(draft, made.data)
    return Tallied(draft, notes_path, standing, marked, changed)


def _standing(
    text: Text,
    front: Mapping[str, Any],
    table: Table,
    definition: SheetDefinition,
    notes_text: str,
    obtained: str | None,
    close: bool,
) -> tuple[Text, Standing]:
    """The draft with block and front matter written, and what stands in them."""
    try:
        notes = read_notes(notes_text)
    except AshdraftError as fault:
        raise type(fault)(f"{NOTES}: {fault.message}", fault.next_step) from None
    old = front.get(KEY)
    before: Mapping[str, Any] = old if isinstance(old, dict) else {}
    marks = {row.id: _shown(table.typed[row.id]) for row in definition.rows}
    closing = before.get("closed")
    if close and not isinstance(closing, dict):
        closing = marks
    closed = isinstance(closing, dict) or (
        not text.front and notes.sheet is not None and notes.sheet.closed
    )
    known = obtained or before.get("obtained") or _cigar(front).get("obtained")
    standing = Standing(
        definition=definition,
        typed=table.typed,
        sums=add_up(definition, table.typed),
        blank=unmarked(definition, table.typed),
        asked=questions(definition, table.typed, notes.reading),
        obtained=_disclosed(known, front),
        closed=closed or close,
        blind=is_sealed(text.data.decode()),
        changed=_changes(definition, closing if isinstance(closing, dict) else {}, marks),
    )
    whole = standing.sums.whole
    value: dict[str, Any] = {
        "sheet": definition.name,
        "marked": whole.marked,
        "not_judged": whole.dashed,
        "rows": whole.rows,
    }
    if whole.complete and whole.mean is not None:
        value["total"] = float(two_decimals(whole.mean))
    if obtained or before.get("obtained"):
        value["obtained"] = obtained or before["obtained"]
    if isinstance(closing, dict):
        value["closed"] = closing
    return with_tally(with_block(text, table.stop, block_lines(standing)), value), standing


def _complete(name: str, definition: SheetDefinition, table: Table) -> None:
    """Refuse to close a tally with blank rows."""
    blank = unmarked(definition, table.typed)
    if blank:
        line = table.lines[blank[0].id]
        raise DataDamaged(
            f"{name}, line {line} ({blank[0].name}): {len(blank)} of {len(definition.rows)} rows "
            "have no mark, and a tally is closed over all of them.",
            "Type a mark, or - for not judged, into each row and close again.",
        )


def _disclosed(known: object, front: Mapping[str, Any]) -> str:
    if known in OBTAINED:
        return f"Obtained: {known}, as typed"
    return "Obtained: as said at the front" if front.get("disclosure") else ask_obtained()


def _with_obtained(text: Text, obtained: str) -> Text:
    """Say it under the heading at the front too, where the tool's own line stands."""
    for n, line in enumerate(text.lines[:-2]):
        status = bare(text.lines[n + 2]) if bare(line) == HOW else ""
        if status == "*Not mentioned.*" or status.startswith("*Typed: "):
            return text.with_lines(n + 2, n + 3, [f"*Typed: {obtained}.*"])
    return text


def _changes(
    definition: SheetDefinition, closing: Mapping[str, Any], marks: Mapping[str, Any]
) -> tuple[str, ...]:
    """Marks that differ from those at closing, as `Draw 7, was 8`."""
    return tuple(
        f"{row.name} {BLANK if marks[row.id] == '' else marks[row.id]}, was {closing[row.id]}"
        for row in definition.rows
        if row.id in closing and str(closing[row.id]) != str(marks[row.id])
    )


def _shown(typed: Typed) -> float | int | str:
    if typed.mark is None:
        return DASH if typed.dashed else ""
    shown = figure(float(typed.mark))
    return float(shown) if "." in shown else int(shown)


def _cigar(front: Mapping[str, Any]) -> Mapping[str, Any]:
    cigar = front.get("cigar")
    return cigar if isinstance(cigar, dict) else {}


def _draft(path: Path) -> Path:
    draft = path / DRAFT if path.is_dir() else path
    if draft.suffix == ".json":
        draft = draft.with_name(draft.name.replace("notes", "draft", 1)).with_suffix(".md")
    if not draft.is_file():
        raise InputMissing(f"{draft} does not exist.", MADE_BY)
    return draft


def _notes(draft: Path) -> Path:
    """The notes of a draft: `notes.new.json` of `draft.new.md` where that is, else `notes.json`."""
    own = draft.with_name(f"notes{draft.stem.removeprefix('draft')}.json")
    return own if own.is_file() else draft.with_name(NOTES)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as fault:
        raise InputMissing(f"{path} cannot be read.", MADE_BY) from fault


def _write(path: Path, data: bytes) -> bool:
    """Write a file if it would change; return whether it did."""
    if path.read_bytes() == data:
        return False
    try:
        atomic_write(path.resolve(), data)  # a link stays a link
    except OSError as fault:
        raise OutputRefused(
            f"{path} cannot be written: {fault.strerror}.", "See that the folder takes a file."
        ) from fault
    return True


@contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Hold the folder, so that no run writes into it meanwhile; a draft may lie in any other."""
    if not (folder / WORK).is_dir():
        yield
        return
    with open_folder(folder):
        yield
