"""The pooled palate: notes of most sticks first, those of one stick named as such."""

from __future__ import annotations

from collections.abc import Sequence

from ..assemble.markdown import added, escape, items, table
from ..model import Utterance
from ..sheet.fill import THIRDS
from .coverage import status
from .pooled import Group, numbered
from .taste import BEFORE, Change, Place, Shared, Taste
from .voices import Voice, spoken, told, with_followers

_COLUMNS: tuple[tuple[Place, str], ...] = (
    (BEFORE, "Before lighting"),
    *((n, name.capitalize()) for n, name in enumerate(THIRDS, start=1)),
    (None, "Of no one third"),
)


def palate(group: Group, voices: Sequence[Voice], level: int) -> str:
    """Return the section: each third, then the whole smoke, then what changed."""
    head, below = "#" * level, "#" * (level + 1)
    parts = [f"{head} Palate"]
    for third, name in enumerate(THIRDS, start=1):
        parts += [f"{below} {name.capitalize()}", status("third", group.sticks, third)]
        parts += [_lead(group.taste, third), *_sentences(group, voices, third)]
    whole = told(voices, ("palate", 0))
    parts += [f"{below} The whole smoke", status("whole", group.sticks), whole]
    parts += [f"{below} From the first third to the last", changes(group.taste.changes)]
    return "\n\n".join(part for part in parts if part)


def families(taste: Taste) -> str:
    """Return the table of notes by family: in how many sticks, and where."""
    rows = []
    for family, notes in taste.families().items():
        several = {stick for note in notes for stick in note.sticks}
        rows.append((f"**{escape(_words(family))}**", f"{len(several)} of {notes[0].of}", *_none()))
        for note in notes:
            also = [t for t in note.terms if t != note.term]
            said_as = f" (also {escape(', '.join(also))})" if also else ""
            cells = [", ".join(map(str, note.at(where))) for where, _ in _COLUMNS]
            rows.append((f"{escape(note.term)}{said_as}", count(note), *cells))
    if not rows:
        return added("Not mentioned.")
    return table(("Note", "Sticks", *(name for _, name in _COLUMNS)), rows)


def count(note: Shared) -> str:
    """Return in how many sticks a note was: `2 of 3`, `1 of 3: stick 2 only`."""
    only = f": {numbered(note.sticks)} only" if note.one_off else ""
    return f"{len(note.sticks)} of {note.of}{only}"


def changes(rows: Sequence[Change]) -> str:
    """Return what came in, held and was not named again, as a list."""
    if not rows or not rows[0].of:
        return added("No stick has notes in both thirds.")
    of = rows[0].of
    lines = []
    for field, words in (
        ("came", "in the last third and not in the first"),
        ("held", "in both"),
        ("gone", "in the first third, said to be gone in the last"),
        ("left", "in the first third, not mentioned again in the last"),
    ):
        found = [(r.term, getattr(r, field)) for r in rows if getattr(r, field)]
        if not found:
            continue
        found.sort(key=lambda pair: (-len(pair[1]), pair[0]))
        named = [f"{escape(term)} ({len(s)} of {of}: {numbered(s)})" for term, s in found]
        lines.append(f"{added(f'{words.capitalize()}:')} {'; '.join(named)}")
    return items(lines)


def _lead(taste: Taste, third: int) -> str:
    """Return the notes of a third: of most sticks, of some, of one, said not to be there."""
    here = [(n, n.at(third)) for n in _here(taste, third)]
    of = here[0][0].of if here else 0
    several = [(n, s) for n, s in here if len(s) > 1 or of == 1]
    alone = [(n, s) for n, s in here if len(s) == 1 and of > 1]
    rows = (
        ("In most sticks", [(n, s) for n, s in several if len(s) > of / 2]),
        ("In some", [(n, s) for n, s in several if len(s) <= of / 2]),
        ("In one stick only", [(n, s) for n, s in alone if n.one_off]),
        ("Here in one stick, elsewhere in others", [(n, s) for n, s in alone if not n.one_off]),
        ("Said not to be there", [(n, n.at(third)) for n in taste.denied if n.at(third)]),
    )
    lines = [
        f"{added(f'{words}:')} "
        + "; ".join(f"{escape(n.term)} ({_which(s, of)})" for n, s in found)
        for words, found in rows
        if found
    ]
    return items(lines)


def _which(sticks: Sequence[int], of: int) -> str:
    if of == 1 or len(sticks) == 1:
        return numbered(sticks)
    which = "" if len(sticks) == of else f": {numbered(sticks)}"
    return f"{len(sticks)} of {of}{which}"


def _here(taste: Taste, third: int) -> list[Shared]:
    """The notes of a third, those of most sticks there first."""
    here = [n for n in taste.notes if n.at(third)]
    return sorted(here, key=lambda n: (-len(n.at(third)), -len(n.sticks), n.term))


def _sentences(group: Group, voices: Sequence[Voice], third: int) -> list[str]:
    """Return the sentences of a third: note by note as shared, one-offs, then all others.

    A sentence that says a note is not there stands with those in which it is.
    """
    if len(group.sticks) == 1:
        return [told(voices, ("palate", third))]
    here = _here(group.taste, third)
    ranks: dict[tuple[int, int], int] = {}
    for rank, note in reversed(list(enumerate(here))):
        denials = [d for d in group.taste.denied if (d.family, d.term) == (note.family, note.term)]
        for spot in (*note.spots, *(s for d in denials for s in d.spots)):
            if spot.place == third:
                ranks[spot.stick, spot.utterance] = rank
    by_note: dict[int, list[tuple[Voice, list[Utterance]]]] = {}
    for voice in voices:
        own = {u: rank for (stick, u), rank in ranks.items() if stick == voice.stick.number}
        for unit in with_followers(voice.places.at("palate", third), own):
            rank = min((own[u.id] for u in unit if u.id in own), default=len(here))
            paragraphs = by_note.setdefault(rank, [])
            if paragraphs and paragraphs[-1][0] is voice:
                paragraphs[-1][1].extend(unit)
            else:
                paragraphs.append((voice, list(unit)))
    parts = []
    for rank, paragraphs in sorted(by_note.items()):
        label = _named(here[rank], third) if rank < len(here) else "besides"
        text = "\n".join(spoken(voice.stick, said) for voice, said in paragraphs)
        parts.append(f"{added(f'{label[:1].upper()}{label[1:]}.')}\n{text}")
    return parts


def _named(note: Shared, third: int) -> str:
    """Return a note with its sticks: `cedar, 2 of 3 sticks here and 3 of 3 in all`."""
    if note.one_off:
        return f"{escape(note.term)}, {numbered(note.sticks)} only"
    here, all_told = len(note.at(third)), len(note.sticks)
    in_all = "" if here == all_told else f" here and {all_told} of {note.of} in all"
    return f"{escape(note.term)}, {here} of {note.of} sticks{in_all}"


def _words(family: str) -> str:
    return family.replace("-", " ")


def _none() -> list[str]:
    return [""] * len(_COLUMNS)
