"""`chapters.edit.txt`: the list a reviewer edits, and from which every format is made again.

A line is a time and a title. The times are the recording's own, with milliseconds, so that
nothing is lost to the whole seconds of a video description.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from ..errors import DataDamaged
from ..export.clock import read_time, signed_time
from ..intake.names import shown
from .entry import Entry, clean

FILE = "chapters.edit.txt"
LONGEST = 100 * 3600 * 1000
MANY = 5
"""So many mistakes are listed at once."""
_HEAD = """\
# The chapters: when each begins, then its title. Rename, move, add or take out lines, save, and
#     ashdraft chapters FOLDER
# makes every format from this list. No speech recognition is needed for it.
# Times are those of the recording: 12:34, 1:02:03 or 12:34.567. A minus sign is a time before
# it, for a video that begins with something else. Lines that begin with # say nothing.
# To have the list made anew, delete this file.

"""


def to_text(entries: Sequence[Entry]) -> str:
    """Return the file's text; `from_text` gives the same entries back."""
    return _HEAD + "".join(f"{signed_time(e.start)} {e.title}\n" for e in entries)


def read(path: Path) -> tuple[Entry, ...]:
    """Return the entries of an edited file. Raises `DataDamaged` as `from_text` does."""
    try:
        text = path.read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise DataDamaged(
            f"{shown(path)} is not text in UTF-8.",
            "Save it as UTF-8, or delete it to have the list made anew.",
        ) from error
    return from_text(text, shown(path))


def from_text(text: str, name: str = FILE) -> tuple[Entry, ...]:
    """Return the entries by start, whatever the order of the lines.

    Raises `DataDamaged` with the number of every line that cannot be used.
    """
    found: dict[int, tuple[int, str]] = {}
    wrong: list[str] = []
    lines = re.split(r"\r\n|\r|\n", text.removeprefix("\N{BYTE ORDER MARK}"))
    for number, line in enumerate(lines, 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        time, _, title = line.strip().partition(" ")
        time, tab, rest = time.partition("\t")
        title = f"{rest} {title}" if tab else title
        try:
            start = read_time(time if ":" in time else "")
        except ValueError:
            wrong.append(f"line {number} does not begin with a time such as 12:34")
            continue
        if not title.strip():
            wrong.append(f"line {number} has no title")
        elif abs(start) > LONGEST:
            wrong.append(f"line {number} is beyond 100 hours")
        elif start in found:
            wrong.append(f"line {number} has the same time as line {found[start][0]}")
        else:
            found[start] = (number, title)
    if wrong:
        more = f"; and {len(wrong) - MANY} more" if len(wrong) > MANY else ""
        raise DataDamaged(
            f"{name}: {'; '.join(wrong[:MANY])}{more}.",
            "Correct it, or delete the file to have the list made anew.",
        )
    return tuple(Entry(start, clean(found[start][1])) for start in sorted(found))
