"""`.ashdraft/desk.json`: up to which line of the journal the files of a session were written."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from ..export.folder import DRAFT
from ..output import WORK, atomic_write

FILE = "desk.json"


@dataclass(frozen=True, slots=True)
class Settled:
    """Lines of the journal that are in the draft, and in the rest; `file` holds that draft."""

    draft: int = 0
    rest: int = 0
    file: str = DRAFT


def text_of(settled: Settled) -> str:
    """Return the file's text."""
    return json.dumps(asdict(settled)) + "\n"


def read_settled(folder: Path) -> Settled:
    """Return what the file says; nothing is settled where it is missing or damaged."""
    try:
        row = json.loads((folder / WORK / FILE).read_text("utf-8"))
        file = str(row["file"])
        named = file if (folder / Path(file).name).is_file() else DRAFT
        return Settled(max(0, int(row["draft"])), max(0, int(row["rest"])), Path(named).name)
    except (OSError, ValueError, KeyError, TypeError):
        return Settled()


def write_settled(folder: Path, settled: Settled) -> None:
    """Write the file. Raises `OSError`."""
    atomic_write(folder / WORK / FILE, text_of(settled).encode())
