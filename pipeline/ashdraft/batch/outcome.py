"""What became of one recording among many."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal


@dataclass(frozen=True, slots=True)
class Outcome:
    """`source` is the recording, or the folder of its clips; `out` its draft's folder.

    `draft` is the file to open next, None where it is not written; then `exit_code` is that of
    `ashdraft write` and `message` and `next_step` say why. `seconds` is the session's length,
    `to_check` the number of things the draft asks to have checked, `took` seconds of work.
    """

    source: Path
    out: Path
    state: Literal["written", "done before", "not written"]
    draft: Path | None = None
    seconds: float = 0.0
    to_check: int = 0
    took: float = 0.0
    exit_code: int = 0
    message: str = ""
    next_step: str = ""
