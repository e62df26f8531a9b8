"""Lists and tables of shared notes: the tool's own lines, every one with its sticks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..assemble.markdown import added, escape, items, table
from ..charts import family_words
from ..sheet.fill import THIRDS
from .pooled import Group, numbered
from .taste import BEFORE, ROOM, Change, Place, Shared, Taste

_PLACES: tuple[tuple[Place, str], ...] = (
    (BEFORE, "Before lighting"),
    *((n, name.capitalize()) for n, name in enumerate(THIRDS, start=1)),
    (None, "Of no one third"),
    (ROOM, "In the room"),
)
_CHANGES = (
    ("came", "in the last third and not in the first"),
    ("held", "in both"),
    ("gone", "in the first third, said to be gone in the last"),
    ("left", "in the first third, not mentioned again in the last"),
)

Named = tuple[str, Sequence[int]]
"""A name and its sticks."""


def in_short(group: Group) -> list[str]:
    """Return what an article is built round: families and notes of most sticks, and one-offs."""
    of, notes = len(group.sticks), group.taste.notes
    families = [
        (family_words(family), sorted({s for note in found for s in note.sticks}))
        for family, found in group.taste.families().items()
    ]
    most = [(name, sticks) for name, sticks in families if len(sticks) > max(1, of / 2)]
    rows = (
        ("Families in most sticks", most),
        ("Notes in most sticks", [(n.term, n.sticks) for n in notes if n.in_most]),
        ("Notes in one stick only", [(n.term, n.sticks) for n in notes if n.one_off]),
    )
    return [f"{added(f'{words}:')} {named(found, of) or 'none'}" for words, found in rows]


def lead(group: Group, third: int) -> str:
    """Return the notes of a third: of most sticks, of some, of one, said not to be there."""
    of = len(group.sticks)
    here = [(n, n.at(third)) for n in in_third(group.taste, third)]
    shared = [(n.term, s) for n, s in here if not n.one_off]
    rows = (
        ("In most sticks" if of > 1 else "Noted", [row for row in shared if len(row[1]) > of / 2]),
        ("In some", [row for row in shared if len(row[1]) <= of / 2]),
        ("In one stick only", [(n.term, s) for n, s in here if n.one_off]),
        (
            "Said not to be there",
            [(n.term, s) for n in group.taste.denied if (s := n.at(third))],
        ),
    )
    return items(f"{added(f'{words}:')} {named(found, of)}" for words, found in rows if found)


def families(taste: Taste) -> str:
    """Return the table of notes by family: in how many sticks, and where."""
    rows = []
    columns = [row for row in _PLACES if any(note.at(row[0]) for note in taste.notes)]
    for family, notes in taste.families().items():
        several = {stick for note in notes for stick in note.sticks}
        head, of = f"**{escape(family_words(family))}**", f"{len(several)} of {notes[0].of}"
        rows.append((head, of, *("" for _ in columns)))
        for note in notes:
            also = [t for t in note.terms if t != note.term]
            said_as = f" (also {escape(', '.join(also))})" if also else ""
            only = f": {numbered(note.sticks)} only" if note.one_off else ""
            cells = [", ".join(map(str, note.at(where))) for where, _ in columns]
            many = f"{len(note.sticks)} of {note.of}{only}"
            rows.append((f"{escape(note.term)}{said_as}", many, *cells))
    if not rows:
        return added("Not mentioned.")
    return table(("Note", "Sticks", *(name for _, name in columns)), rows)


def changes(rows: Sequence[Change]) -> str:
    """Return what came in, held, was gone and was not named again, as a list."""
    if not rows:
        return added("No stick has notes in both thirds.")
    lines = []
    for field, words in _CHANGES:
        found = [(row.term, getattr(row, field)) for row in rows if getattr(row, field)]
        if found:
            lines.append(f"{added(f'{words.capitalize()}:')} {named(found, rows[0].of)}")
    return items(lines)


def in_third(taste: Taste, third: int) -> list[Shared]:
    """Return the notes of a third, those of most sticks there first."""
    here = [n for n in taste.notes if n.at(third)]
    return sorted(here, key=lambda n: (-len(n.at(third)), -len(n.sticks), n.term))


def named(found: Iterable[Named], of: int) -> str:
    """Return names with their sticks, most sticks first, then stick by stick.

    `pepper (3 of 3); cedar (2 of 3: sticks 1 and 2); stick 1: cream, brioche`.
    """
    rows = [(name, tuple(sticks)) for name, sticks in found]
    if of == 1:
        return ", ".join(escape(name) for name, _ in rows)
    several = sorted((row for row in rows if len(row[1]) > 1), key=lambda r: (-len(r[1]), r[0]))
    parts = [
        f"{escape(name)} ({len(sticks)} of {of}"
        + ("" if len(sticks) == of else f": {numbered(sticks)}")
        + ")"
        for name, sticks in several
    ]
    lone: dict[int, list[str]] = {}
    for name, sticks in rows:
        if len(sticks) == 1:
            lone.setdefault(sticks[0], []).append(escape(name))
    parts += [f"stick {stick}: {', '.join(names)}" for stick, names in sorted(lone.items())]
    return "; ".join(parts)
