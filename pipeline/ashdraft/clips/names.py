"""File names that tell what is in a clip and are safe on every system."""

from __future__ import annotations

import re
import unicodedata

LONGEST = 48
"""Letters of the words in a name, so that it fits any disk and any list."""


def file_name(start: float, words: str, suffix: str, taken: set[str]) -> str:
    """Return `0h12m34s-it-opens-with-white-pepper.mp3`, and put it into `taken`.

    Small letters a to z, digits and hyphens only; it begins with a digit, so that it is no
    device name and no option, and names sort by time. One that is taken gets a number.
    """
    second = max(int(start), 0)
    clock = f"{second // 3600}h{second // 60 % 60:02}m{second % 60:02}s"
    slug = _slug(words)
    stem = f"{clock}-{slug}" if slug else clock
    name, number = f"{stem}{suffix}", 1
    while name in taken:
        number += 1
        name = f"{stem}-{number}{suffix}"
    taken.add(name)
    return name


def _slug(words: str) -> str:
    plain = unicodedata.normalize("NFKD", words.replace("’", "").replace("'", ""))
    letters = "".join(c for c in plain.casefold() if not unicodedata.combining(c))
    whole = "-".join(re.findall(r"[a-z0-9]+", letters))
    if len(whole) <= LONGEST:
        return whole
    return whole[: LONGEST + 1].rpartition("-")[0] or whole[:LONGEST]
