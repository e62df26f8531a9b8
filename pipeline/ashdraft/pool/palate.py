"""The pooled palate: sentences on shared notes first, those of one stick named as such."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..assemble.markdown import added, escape
from ..model import Utterance
from ..sheet.fill import THIRDS
from .coverage import status
from .lists import changes, in_third, lead
from .pooled import Group
from .tables import capital
from .taste import Shared
from .voices import Voice, spoken, told, with_followers

Ranks = Mapping[tuple[int, int], int]
"""Stick and utterance to the place of its paragraph."""
Paragraph = list[tuple[Voice, tuple[Utterance, ...]]]

ALONE, BESIDES = "In one stick only.", "Besides."


def palate(group: Group, voices: Sequence[Voice], level: int) -> str:
    """Return the section: each third, then the whole smoke, then what changed."""
    head, below = "#" * level, "#" * (level + 1)
    parts = [f"{head} Palate"]
    for third, name in enumerate(THIRDS, start=1):
        parts += [f"{below} {name.capitalize()}", status("third", group.sticks, third)]
        parts += [lead(group, third), *_sentences(group, voices, third)]
    whole = told(voices, ("palate", 0))
    parts += [f"{below} The whole smoke", status("whole", group.sticks), whole]
    parts += [f"{below} From the first third to the last", changes(group.taste.changes)]
    return "\n\n".join(part for part in parts if part)


def _sentences(group: Group, voices: Sequence[Voice], third: int) -> list[str]:
    """Return the sentences of a third: a paragraph for each shared note, then stick by stick
    those on notes of one stick, then all others.
    """
    if len(group.sticks) == 1:
        return [told(voices, ("palate", third))]
    shared = [note for note in in_third(group.taste, third) if not note.one_off]
    ranks = _ranks(group, shared, third)
    paragraphs: dict[int, Paragraph] = {}
    for voice in voices:
        own = {u: rank for (stick, u), rank in ranks.items() if stick == voice.stick.number}
        for unit in with_followers(voice.places.at("palate", third), own):
            rank = min((own[u.id] for u in unit if u.id in own), default=len(shared) + 1)
            paragraphs.setdefault(rank, []).append((voice, unit))
    parts = []
    for rank, paragraph in sorted(paragraphs.items()):
        if rank < len(shared):
            label = added(f"{_named(shared[rank], third)}.")
            parts.append("\n".join([label, *_by_stick(paragraph)]))
        else:
            label = added(ALONE if rank == len(shared) else BESIDES)
            first, *more = _by_stick(paragraph)
            parts += [f"{label}\n{first}", *more]
    return parts


def _ranks(group: Group, shared: Sequence[Shared], third: int) -> Ranks:
    """Rank sentences by the most shared note they name; a denial stands with what it denies."""
    ranks: dict[tuple[int, int], int] = {}
    for note in group.taste.notes:
        if note.one_off:
            ranks |= {(s.stick, s.utterance): len(shared) for s in note.spots if s.place == third}
    for rank, note in reversed(list(enumerate(shared))):
        denials = [d for d in group.taste.denied if d.denies(note)]
        for spot in (*note.spots, *(s for d in denials for s in d.spots)):
            if spot.place == third:
                ranks[spot.stick, spot.utterance] = rank
    return ranks


def _by_stick(paragraph: Paragraph) -> list[str]:
    said: dict[int, list[Utterance]] = {}
    voices = {voice.stick.number: voice for voice, _ in paragraph}
    for voice, unit in paragraph:
        said.setdefault(voice.stick.number, []).extend(unit)
    return [spoken(voices[number].stick, own) for number, own in said.items()]


def _named(note: Shared, third: int) -> str:
    """Return a note with its sticks: `Cedar, 2 of 3 sticks here and 3 of 3 in all`."""
    here, all_told = len(note.at(third)), len(note.sticks)
    in_all = "" if here == all_told else f" here and {all_told} of {note.of} in all"
    return f"{capital(escape(note.term))}, {here} of {note.of} sticks{in_all}"
