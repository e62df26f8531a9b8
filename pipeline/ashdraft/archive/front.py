"""What only the draft holds: its front matter, as the reviewer left it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

from ..errors import DataDamaged
from ..facts import TYPED_ONLY

BLOCK = re.compile(r"---[ \t]*\r?\n(.*?)^(?:---|\.\.\.)[ \t]*\r?$", re.DOTALL | re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Front:
    """Title, day (YYYY-MM-DD) and typed facts; all empty where a draft has no front matter."""

    title: str | None = None
    day: str | None = None
    typed: Mapping[str, str] = field(default_factory=dict)


def read_front(draft: Path) -> Front:
    """Read the front matter of a draft; a draft that is gone, or has none, gives nothing.

    Raises `DataDamaged`, with the line, where the front matter is no YAML: a name must not be
    lost in silence.
    """
    import yaml

    try:
        match = BLOCK.match(draft.read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError):
        return Front()
    if not match:
        return Front()
    try:
        matter = yaml.safe_load(match.group(1))
    except (yaml.YAMLError, ValueError, RecursionError) as fault:
        mark = getattr(fault, "problem_mark", None)
        line = f", line {mark.line + 2}" if mark else ""
        raise DataDamaged(
            f"{draft}{line}: the front matter is no YAML.",
            "Mend that line, or delete the block, and type the same command again.",
        ) from None
    return _front(matter) if isinstance(matter, dict) else Front()


def _front(matter: Mapping[Any, Any]) -> Front:
    cigar = matter.get("cigar")
    facts = cigar if isinstance(cigar, dict) else {}
    typed = {key: _text(facts.get(key)) for key in TYPED_ONLY}
    typed["disclosure"] = _text(matter.get("disclosure"))
    return Front(
        title=_text(matter.get("title")) or None,
        day=_day(matter.get("date")),
        typed={key: value for key, value in typed.items() if value},
    )


def _text(value: Any) -> str:
    """A name such as 1926 is a number to YAML."""
    return " ".join(str(value).split()) if isinstance(value, str | int | float) else ""


def _day(value: Any) -> str | None:
    if isinstance(value, datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else None
