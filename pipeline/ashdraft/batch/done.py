"""Whether a session is written already, from the same recording in the same way."""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

from .. import __version__
from ..options import Options
from ..output import WORK, atomic_write
from .sessions import Planned, files_of

FILE = "done.json"
_NEEDED = ("draft.md", "notes.json")


def fingerprint(options: Options) -> str:
    """What decides a draft besides the recording: versions, options, typed facts, the sheet."""
    from ..rules import versions
    from ..sheet import load_sheet

    named = ("model", "device", "caution", "blind", "facts")
    asked = {name: value for name, value in asdict(options).items() if name in named}
    return _sum([__version__, *versions(), repr(load_sheet(options.sheet)), asked])


def key_of(planned: Planned, way: str) -> str:
    """What decides the draft of `planned`; size and date stand for a recording's bytes.

    A file that cannot be read, or is not there, gives a key as well.
    """
    files: list[list[str | int]] = []
    with suppress(OSError):
        for path in files_of(planned.source):
            stat = path.stat()
            files.append([path.name, stat.st_size, stat.st_mtime_ns])
    return _sum([way, *files])


def is_done(out: Path, key: str) -> bool:
    """Whether `out` holds the draft that belongs to `key`, edited or not."""
    try:
        stored = json.loads((out / WORK / FILE).read_bytes())
    except (OSError, ValueError):
        return False
    whole = all((out / name).is_file() for name in _NEEDED)
    return whole and isinstance(stored, dict) and stored.get("key") == key


def mark_done(out: Path, key: str) -> None:
    """Say that `out` is finished. Raises OSError."""
    atomic_write(out / WORK / FILE, json.dumps({"key": key}).encode())


def _sum(content: object) -> str:
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()
