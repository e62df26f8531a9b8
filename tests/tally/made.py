"""A finished folder to tally: a small recording, its draft and notes, as a run leaves them."""

from __future__ import annotations

import re
import shutil
import tempfile
from pathlib import Path
from typing import Any

from ashdraft.assemble import draft
from ashdraft.export import notes_json
from ashdraft.model import Count, Event, FactValue, MadeBy, Notes, Recording, Utterance
from ashdraft.output import open_folder
from ashdraft.sheet import SheetDefinition, copy_of, fill
from ashdraft.sheet.load import parse_sheet
from ashdraft.tally import seal

from ..sheet.made import note, reading, said

DOCS = Path(__file__).parents[2] / "docs" / "sheet.md"
SAID: tuple[Utterance, ...] = (
    said(0, "The cigar today is Zovrana, from the Quillon works.", "setup"),
    said(1, "I paid nine dollars fifty for it.", "setup"),
    said(2, "Black pepper first, and cedar.", "palate", 1),
    said(3, "That is the Zovrana pepper again.", "palate", 1),
    said(4, "The burn line is off, so a first touch-up.", "burn", 1),
    said(5, "Second touch-up, and the pull is tight.", "burn", 2),
    said(6, "It went out, I relit it.", "burn", 3),
    said(7, "For the price it is fair.", "presentation"),
)


def shelf() -> SheetDefinition:
    """The sheet of docs/sheet.md."""
    found = re.search(r"```toml\n(format = .*?)```", DOCS.read_text("utf-8"), re.S)
    assert found
    return parse_sheet("shelf.toml", found[1])


def notes(**typed: FactValue) -> Notes:
    made = reading(
        SAID,
        descriptors=(note("black pepper", 1, 2, family="pepper"), note("cedar", 1, 2)),
        events=(Event("touch-up", 1, 4, 40.0), Event("touch-up", 2, 5, 50.0)),
        touch_ups=Count(2, (1, 1, 0), (4, 5)),
        relights=Count(1, (0, 0, 1), (6,)),
        facts={"price": 9.5, "currency": "USD", "format": "robusto"},
        fact_evidence={"price": (1,), "currency": (1,)},
    )
    recording = Recording("porch.m4a", "0" * 64, 0.0, 90.0)
    made_by = MadeBy("0.1.0", "base", "en_core_web_sm", "0" * 16)
    return Notes(made_by, (recording,), made, typed_facts=typed)


def folder(path: Path, definition: SheetDefinition, *, blind: bool = False, **typed: Any) -> Path:
    """Write draft and notes as `ashdraft write` does; return the draft.

    A folder that is not there yet is a copy of one that was written before.
    """
    if path.exists():
        return _written(path, definition, blind, typed)
    key = definition.sum, blind, tuple(sorted(typed.items()))
    if key not in _WRITTEN:
        _WRITTEN[key] = Path(_KEPT.name) / str(len(_WRITTEN))
        _written(_WRITTEN[key], definition, blind, typed)
    return shutil.copytree(_WRITTEN[key], path) / "draft.md"


_KEPT = tempfile.TemporaryDirectory()
_WRITTEN: dict[tuple[str, bool, tuple[Any, ...]], Path] = {}


def _written(path: Path, definition: SheetDefinition, blind: bool, typed: dict[str, Any]) -> Path:
    made = notes(**typed)
    written = draft(made, fill(definition, made.reading), caution=True)
    with open_folder(path) as out:
        out.keep(*copy_of(definition))
        if blind:
            sealed = seal(written, made)
            out.keep(*sealed.kept)
            written = sealed.text
        files = out.write({"draft.md": written, "notes.json": notes_json(made)})
    return files[0].path


def with_marks(written: str, marks: dict[str, str]) -> str:
    """Return a draft with these cells typed, by criterion, in whatever line ends it has."""
    for name, cell in marks.items():
        row = re.compile(rf"^(\| [^|\r\n]+ \| {re.escape(name)} \| [\d.]+ \|)[^|\r\n]*(?=\|)", re.M)
        written, count = row.subn(lambda m, cell=cell: f"{m[1]} {cell} ", written)  # type: ignore[misc]
        assert count == 1, name
    return written


def type_marks(path: Path, marks: dict[str, str]) -> None:
    """Type cells into a draft, bytes apart from them kept."""
    path.write_bytes(with_marks(path.read_bytes().decode(), marks).encode())


def line_of(path: Path, start: str) -> int:
    """The number of the only line that begins like this."""
    lines = path.read_bytes().decode().splitlines()
    found = [n for n, line in enumerate(lines, 1) if line.startswith(start)]
    assert len(found) == 1, start
    return found[0]
