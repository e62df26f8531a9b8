"""What only the draft holds: its front matter, as the reviewer left it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path


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
    from ..tally.front import as_text, day_of, read_front, typed_facts
    from ..tally.text import read

    try:
        data = draft.read_bytes()
    except OSError:
        return Front()
    matter = read_front(read(str(draft), data))
    texts = typed_facts(matter) | {k: as_text(matter.get(k)) for k in ("disclosure", "title")}
    known = {key: text for key, text in texts.items() if text and not _withheld(text)}
    return Front(
        title=known.pop("title", None),
        day=day_of(matter.get("date")),
        typed=known,
        withheld=any(map(_withheld, texts.values())),
    )


def _withheld(text: str) -> bool:
    from ..tally import is_sealed

    return is_sealed(text)
