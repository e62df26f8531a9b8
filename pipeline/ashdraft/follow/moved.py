"""Utterances and words as they are heard in the cut: moved, shortened, said twice, or gone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..captions.timed import timed
from ..model import Said, Word
from .cut import Cut, holds
from .passages import Passage

TRIMMED = 1.5
"""Seconds of the cut within which two parts of one utterance are one utterance, trimmed."""


@dataclass(frozen=True, slots=True)
class Heard:
    """An utterance in the cut's time. `origin` is the id it has in the notes of the recording.

    `said.id` is the same for its first appearance and a new one for every other; `whole` tells
    whether every word of it is there.
    """

    said: Said
    origin: int
    whole: bool


def heard_in(cut: Cut, utterances: Sequence[Said]) -> tuple[Heard, ...]:
    """Return what is said in the cut, in its order."""
    parts: list[tuple[Said, int, float, bool]] = []  # with the second of the timeline it ends at
    for passage in cut.passages:
        for one in sorted(utterances, key=lambda u: (u.start, u.end)):
            part = _part(one, passage)
            if part is None:
                continue
            moved, until, whole = part
            if parts and _goes_on(parts[-1], moved, one.id, until):
                last, origin, _, _ = parts[-1]
                parts[-1] = (_joined(last, moved), origin, until, False)
            else:
                parts.append((moved, one.id, until, whole))
    return tuple(_numbered(parts, max((u.id for u in utterances), default=0) + 1))


def left_out(heard: Iterable[Heard], utterances: Iterable[Said]) -> tuple[Said, ...]:
    """Return the utterances of which nothing is said in the cut."""
    there = {one.origin for one in heard}
    return tuple(u for u in utterances if u.id not in there)


def _part(one: Said, passage: Passage) -> tuple[Said, float, bool] | None:
    """Return what a passage holds of an utterance, in the cut's time."""
    first, last = passage.start + passage.distance, passage.end + passage.distance
    if one.end < first - 1.0 or one.start > last + 1.0:
        return None
    heard, said, text = (_kept(t, one, passage) for t in (one.heard, one.said, one.text))
    if not said:
        return None
    words = tuple(w for w in one.words if holds(passage, (w.start + w.end) / 2))
    whole = said.split() == one.said.split() and len(words) == len(one.words)
    if whole:
        start, end = one.start, one.end
        heard, said, text = one.heard, one.said, one.text
    elif words:
        start, end = words[0].start, words[-1].end
    else:
        start, end = max(one.start, first), min(one.end, last)
    back = passage.distance
    there = tuple(
        Word(w.text, _earlier(w.start, back), _earlier(w.end, back), w.probability) for w in words
    )
    moved = Said(one.id, _earlier(start, back), _earlier(end, back), heard, said, text, there)
    return moved, end, whole


def _kept(wording: str, one: Said, passage: Passage) -> str:
    """Return the words of a wording that a passage holds."""
    words = timed(wording, one)
    return " ".join(w.text for w in words if holds(passage, (w.start + w.end) / 2))


def _goes_on(before: tuple[Said, int, float, bool], part: Said, origin: int, until: float) -> bool:
    last, last_origin, last_until, _ = before
    return origin == last_origin and until > last_until and part.start - last.end < TRIMMED


def _joined(one: Said, other: Said) -> Said:
    return replace(
        one,
        end=other.end,
        heard=f"{one.heard} {other.heard}".strip(),
        said=f"{one.said} {other.said}".strip(),
        text=f"{one.text} {other.text}".strip(),
        words=(*one.words, *other.words),
    )


def _numbered(parts: Iterable[tuple[Said, int, float, bool]], free: int) -> Iterable[Heard]:
    used: set[int] = set()
    for said, origin, _, whole in parts:
        number = origin
        if origin in used:
            number, free = free, free + 1
        used.add(origin)
        yield Heard(replace(said, id=number), origin, whole)


def _earlier(seconds: float, by: float) -> float:
    return max(round(seconds - by, 3), 0.0)
