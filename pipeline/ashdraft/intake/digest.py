"""SHA-256 sums of files, in flat memory."""

from __future__ import annotations

import hashlib
from pathlib import Path

from ..errors import InputMissing
from .names import shown


def sha256_of(path: Path) -> str:
    """The file's SHA-256 as 64 hexadecimal digits. Raises InputMissing."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise InputMissing(
            f"{shown(path)} cannot be read ({error.strerror}).", "Check the path and its rights."
        ) from error
