"""The front matter of a draft: what is read from it, and the tally's own key written into it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from ..errors import DataDamaged
from ..facts import TYPED_ONLY
from .text import Text, bare

KEY = "tally"
_OWN = re.compile(rf"{KEY}\s*:")
_DAY = re.compile(r"\d{4}-\d\d-\d\d")


def read_front(text: Text) -> dict[str, Any]:
    """Return the front matter, empty where there is none.

    Raises `DataDamaged`, with the line, where it is no YAML mapping.
    """
    import yaml

    if not text.front:
        return {}
    fault = "Mend the line, or take the front matter out."
    try:
        found = yaml.safe_load("\n".join(bare(line) for line in text.lines[1 : text.front - 1]))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 2 if mark else 1
        raise DataDamaged(
            f"{text.name}, line {line}: the front matter is no valid YAML.", fault
        ) from None
    except (yaml.YAMLError, ValueError, RecursionError):
        raise DataDamaged(f"{text.name}, line 1: the front matter cannot be read.", fault) from None
    if found is None:
        return {}
    if not isinstance(found, dict):
        raise DataDamaged(f"{text.name}, line 2: the front matter has no keys.", fault)
    return found


def typed_facts(front: Mapping[str, Any]) -> dict[str, str]:
    """Return the facts that only a draft holds, each on one line, without those that are empty.

    How the cigar was obtained may have been told to the tally, which then counts.
    """
    cigar, tallied = (
        found if isinstance(found := front.get(k), dict) else {} for k in ("cigar", KEY)
    )
    given = {key: cigar.get(key) for key in TYPED_ONLY}
    given["obtained"] = tallied.get("obtained", given["obtained"])
    return {key: text for key, value in given.items() if (text := as_text(value))}


def as_text(value: object) -> str:
    """Return a text of the front matter on one line; a name such as 1926 is a number to YAML."""
    return " ".join(str(value).split()) if isinstance(value, str | int | float) else ""


def day_of(value: object) -> str | None:
    """Return a day as YYYY-MM-DD, from YAML's own or a text that begins so; else None."""
    found = _DAY.match(value.isoformat() if isinstance(value, date) else as_text(value))
    try:
        return date.fromisoformat(found[0]).isoformat() if found else None
    except ValueError:
        return None


def with_tally(text: Text, value: Mapping[str, Any]) -> Text:
    """Return the text with `value` under the key `tally`, where that stands or else at the end.

    A draft without front matter is returned as it is. Raises `DataDamaged` where the key was
    edited so that it cannot be written in its place.
    """
    import yaml

    if not text.front:
        return text
    dumped = yaml.safe_dump({KEY: dict(value)}, sort_keys=False, allow_unicode=True, width=1000)
    first = stop = text.front - 1
    for n in range(1, text.front - 1):
        if _OWN.match(text.lines[n]):
            first = stop = n
            stop += 1
            while stop < text.front - 1 and re.match(r"[ \t]|$", bare(text.lines[stop])):
                stop += 1
            break
    new = dumped.rstrip("\n").split("\n")
    made = text.with_lines(first, stop, new)
    made = made.with_front(made.front + len(new) - (stop - first))
    if read_front(made).get(KEY) != value:
        raise DataDamaged(
            f"{text.name}, line {first + 1}: the key {KEY} of the front matter was edited.",
            "Delete it with all that belongs to it; it is written anew.",
        )
    return made
