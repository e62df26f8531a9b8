"""What only the draft holds: its front matter, as the reviewer left it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from ..facts import TYPED_ONLY


@dataclass(frozen=True, slots=True)
class Front:
    """Title, day (YYYY-MM-DD) and typed facts; all empty where a draft has no front matter.

    `withheld`: the draft is blind and its tally open, so that some of it is not known yet.
    """

    title: str | None = None
    day: str | None = None
    typed: Mapping[str, str] = field(default_factory=dict)
    withheld: bool = False


def front_of(draft: Path) -> Front:
    """Read the front matter of a draft; a draft that is gone, or has none, gives nothing.

    Raises `DataDamaged`, with the line, where it cannot be read: a name must not be lost in
    silence.
    """
    from ..tally.front import read_front
    from ..tally.text import read

    try:
        data = draft.read_bytes()
    except OSError:
        return Front()
    matter = read_front(read(str(draft), data))
    facts, tally = (_mapping(matter.get(key)) for key in ("cigar", "tally"))
    given = {key: facts.get(key) for key in TYPED_ONLY}
    given["obtained"] = tally.get("obtained", given["obtained"])
    given |= {"disclosure": matter.get("disclosure"), "title": matter.get("title")}
    texts = {key: _text(value) for key, value in given.items()}
    known = {key: text for key, text in texts.items() if text and not _withheld(text)}
    return Front(
        title=known.pop("title", None),
        day=_day(matter.get("date")),
        typed=known,
        withheld=any(map(_withheld, texts.values())),
    )


def _withheld(text: str) -> bool:
    from ..tally import is_sealed

    return is_sealed(text)


def _mapping(value: Any) -> Mapping[Any, Any]:
    return value if isinstance(value, dict) else {}


def _text(value: Any) -> str:
    """A name such as 1926 is a number to YAML."""
    return " ".join(str(value).split()) if isinstance(value, str | int | float) else ""


def _day(value: Any) -> str | None:
    if isinstance(value, datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else None
