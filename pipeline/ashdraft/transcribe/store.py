"""What recognition has finished, kept in the work folder so that no second of it is done twice.

Each entry is a small JSON file under a name that says exactly what it is the result of (sound,
spans, model, settings), with the SHA-256 of its content. An entry that does not match its sum
is as good as none: it is taken away and made again.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..errors import OutputRefused
from ..output import atomic_write

FOLDER = "heard"


class Store:
    """Entries in `work`/heard, readable by their owner only."""

    def __init__(self, work: Path) -> None:
        self._folder = work / FOLDER
        try:
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise self._refused(error) from error

    def get(self, key: str) -> Any:
        """The content stored under `key`, or None when there is none or it is damaged."""
        path = self._path(key)
        try:
            entry = json.loads(path.read_bytes())
            content = entry["content"]
            if entry["sha256"] == _sum(content):
                return content
        except FileNotFoundError:
            return None
        except (OSError, ValueError, KeyError, TypeError, RecursionError):
            pass
        with contextlib.suppress(OSError):  # it is written anew in any case
            path.unlink(missing_ok=True)
        return None

    def put(self, key: str, content: Any) -> None:
        """Store JSON `content` under `key` in one step. Raises OutputRefused."""
        entry = {"sha256": _sum(content), "content": content}
        try:
            atomic_write(self._path(key), json.dumps(entry, ensure_ascii=False).encode())
        except OSError as error:
            raise self._refused(error) from error

    def _path(self, key: str) -> Path:
        return self._folder / f"{key}.json"

    def _refused(self, error: OSError) -> OutputRefused:
        return OutputRefused(
            f"Finished work cannot be kept in {self._folder} ({error.strerror}).",
            "Free some space or choose another folder with --out; finished blocks are kept.",
        )


def key_of(kind: str, made_from: Mapping[str, Any]) -> str:
    """A file-name-safe key for the result of exactly these ingredients."""
    return f"{kind}-{_sum(made_from)[:32]}"


def _sum(content: Any) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
