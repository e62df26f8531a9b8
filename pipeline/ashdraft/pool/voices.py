"""The reviewers' own sentences, each with its stick and its time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ..assemble.markdown import added, escape
from ..assemble.placing import NEAR, Place, Places
from ..assemble.prose import prose
from ..assemble.times import clock, opening
from ..model import Utterance
from .sticks import Stick

LEGEND = '[times]: <#t> "When each sentence was said: seconds from and to, stick, clock, words"'


@dataclass(frozen=True, slots=True)
class Voice:
    """A stick and its sentences in their places."""

    stick: Stick
    places: Places


def tag(stick: Stick) -> str:
    """Return the name of a stick as sentences carry it: `Stick 2`, `Stick 2 (Ines)`."""
    reviewer = f" ({escape(stick.reviewer)})" if stick.reviewer else ""
    return f"Stick {stick.number}{reviewer}"


def told(voices: Sequence[Voice], place: Place, label: str = "") -> str:
    """Return what was said at a place, stick after stick, a paragraph each."""
    parts = [spoken(v.stick, v.places.at(*place)) for v in voices if v.places.at(*place)]
    if label and parts:
        parts[0] = f"{label}\n{parts[0]}"
    return "\n\n".join(parts)


def spoken(stick: Stick, utterances: Sequence[Utterance]) -> str:
    """Return sentences of one stick, with its name and a time wherever speech paused."""
    runs = _runs(utterances)
    return "\n".join(
        prose(run, added(f"{tag(stick)}, {clock(run[0].start)}."))
        if n == 0
        else prose(run, added(f"{clock(run[0].start)}."))
        for n, run in enumerate(runs)
    )


def with_followers(
    utterances: Sequence[Utterance], telling: Mapping[int, object]
) -> list[tuple[Utterance, ...]]:
    """Return sentences so that one that names no note stays with the one it follows.

    `telling` has the ids of the sentences that name a note.
    """
    units: list[list[Utterance]] = []
    for utterance in utterances:
        before = units[-1][-1] if units else None
        follows = before is not None and before.id + 1 == utterance.id and _near(before, utterance)
        if follows and utterance.id not in telling:
            units[-1].append(utterance)
        else:
            units.append([utterance])
    return [tuple(unit) for unit in units]


def definitions(voices: Iterable[Voice]) -> str:
    """Return the times of all sentences as link reference definitions, which print nothing.

    As in a draft (docs/draft.md), with the stick before the id: `[s2u57]`.
    """
    lines = [
        f'[s{v.stick.number}u{u.id}]: <#t={u.start:.1f},{u.end:.1f}> "stick {v.stick.number}, '
        f'{clock(u.start)} {_title(u)}"'
        for v in voices
        for u in v.places.in_order()
    ]
    return "\n".join([LEGEND, *lines])


def _title(utterance: Utterance) -> str:
    return escape(opening(utterance.text)).replace('"', "&quot;")


def _runs(utterances: Sequence[Utterance]) -> list[list[Utterance]]:
    runs: list[list[Utterance]] = []
    for utterance in utterances:
        if runs and utterance.id > runs[-1][-1].id and _near(runs[-1][-1], utterance):
            runs[-1].append(utterance)
        else:
            runs.append([utterance])
    return runs


def _near(before: Utterance, utterance: Utterance) -> bool:
    return utterance.start - before.end <= NEAR
