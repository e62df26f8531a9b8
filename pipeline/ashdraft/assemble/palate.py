"""The palate by thirds: status, the speaker's sentences, and the tool's list of notes."""

from __future__ import annotations

from ..model import Descriptor, Reading, Source
from ..sheet.fill import THIRDS, term
from ..sheet.notes import IN_THE_SMOKE, changes, in_third, present
from .coverage import status_line
from .markdown import added, escape, items
from .placing import Places
from .prose import prose

_WHERE: tuple[tuple[Source, str], ...] = (
    ("palate", "Noted"), ("retrohale", "Through the nose"), ("finish", "On the finish"),
)  # fmt: skip
_CHANGES = (
    ("new", "new"),
    ("back", "back again"),
    ("stronger", "stronger"),
    ("fainter", "fainter"),
    ("still", "as before"),
    ("gone", "said to be gone"),
    ("unmentioned", "not mentioned again"),
)


def palate(reading: Reading, places: Places) -> str:
    """Return the section: each third, then the whole smoke."""
    parts = ["## Palate"]
    for third, name in enumerate(THIRDS, start=1):
        parts += [f"### {name.capitalize()}", status_line("third", reading, third)]
        parts += [prose(places.at("palate", third)), _noted(reading, third)]
    parts += ["### The whole smoke", status_line("whole", reading)]
    parts += [prose(places.at("palate")), _whole(reading)]
    return "\n\n".join(part for part in parts if part)


def _noted(reading: Reading, third: int) -> str:
    """What was noted in a third, through the nose, on the finish, and how that changed."""
    lines = [_line(label, in_third(reading, third, (source,))) for source, label in _WHERE]
    if third > 1 and in_third(reading, third, IN_THE_SMOKE):
        lines.append(_changed(reading, third))
    return items(line for line in lines if line)


def _changed(reading: Reading, third: int) -> str:
    before = THIRDS[third - 2]
    if not present(in_third(reading, third - 1, IN_THE_SMOKE)):
        return ""
    found = changes(reading, third)
    parts = [
        f"{words}: {escape(', '.join(getattr(found, field)))}"
        for field, words in _CHANGES
        if getattr(found, field)
    ]
    return f"{added(f'Since the {before}:')} {'; '.join(parts)}" if parts else ""


def _whole(reading: Reading) -> str:
    room = [d for d in reading.descriptors if d.source == "room"]
    whole = [d for d in reading.descriptors if d.third is None and d.source in IN_THE_SMOKE]
    lines = (_line("Of no one third", whole), _line("In the room", room))
    return items(line for line in lines if line)


def _line(label: str, notes: list[Descriptor] | tuple[Descriptor, ...]) -> str:
    there = present(notes)
    terms = ", ".join(escape(term(note)) for note in there)
    return f"{added(f'{label}:')} {terms}" if terms else ""
