"""A copy of the sheet in the folder's `.ashdraft`, so that its draft can be read back for ever."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from ..errors import InputMissing
from .definition import SheetDefinition
from .load import load_sheet, parse_sheet


def copy_of(definition: SheetDefinition) -> tuple[str, str]:
    """Return name and text of the file to keep."""
    return _file(definition.sum), definition.text


def kept_sheet(path: Path | None, written: object, work: Path) -> SheetDefinition:
    """Return the sheet that a draft was written with.

    `path` is a sheet that the user names and wins; `written` is the key `sheet` of the draft's
    front matter; `work` is the folder's `.ashdraft`. Without front matter it is the one sheet
    that is kept there, else the default. Raises `InputMissing` where it is not found.
    """
    if path is not None:
        return load_sheet(path)
    if not isinstance(written, Mapping):
        kept = sorted(work.glob(_file("*")))
        return load_sheet(kept[0]) if len(kept) == 1 else load_sheet()
    wanted = str(written.get("sum", ""))
    name = str(written.get("file", "sheet"))
    default = load_sheet()
    if wanted == default.sum or (not wanted and name == default.file):
        return default
    copy = work / _file(wanted)
    if wanted.isalnum() and copy.is_file():
        return parse_sheet(name, copy.read_text(encoding="utf-8"))
    raise InputMissing(
        f"The sheet {name} of this draft is not found.", "Name its file with --sheet FILE."
    )


def _file(total: str) -> str:
    return f"sheet-{total}.toml"
