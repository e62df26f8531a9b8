"""The reviewer's own words, from a small file: a word or name a line, and what it sounds like.

Dunvarrick: dun varrick, done very
Bellwether
# remarks and empty lines are passed over
"""

from __future__ import annotations

import re
from pathlib import Path

from ..errors import UsageError

_HINT = re.compile(r"[A-Za-z' -]+$")


def read_terms(file: Path) -> dict[str, tuple[str, ...]]:
    """Word to its hints, in plain English words or syllables; none where it is read as written.

    Raises UsageError naming the file and line.
    """
    try:
        lines = file.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(
            f"The file of terms {file.name} cannot be read: {error}",
            "Give a text file (UTF-8) with one term a line.",
        ) from error
    found: dict[str, tuple[str, ...]] = {}
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        term, _, told = line.partition(":")
        hints = tuple(" ".join(h.split()) for h in told.split(",") if h.strip())
        if not term.strip() or not all(map(_HINT.match, hints)):
            raise UsageError(
                f"Line {number} of {file.name} is not a term.",
                "Write it like this:  Dunvarrick: dun varrick, done very",
            )
        found[" ".join(term.split())] = hints
    return found
