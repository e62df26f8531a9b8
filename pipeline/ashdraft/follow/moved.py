"""Utterances and words as they are heard in the cut: moved, shortened, said twice, or gone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..captions.timed import timed
from ..model import Said, Word
from .cut import TOLERANCE, Cut, holds
from .passages import Passage

TRIMMED = 1.5
"""Seconds of the cut within which two parts of one utterance are one utterance, trimmed."""
_JOINT = 0.5
_NEVER = float("-inf")


@dataclass(frozen=True, slots=True)
class Heard:
    """An utterance in the cut's time. `origin` is the id it has in the notes of the recording.

    `said.id` is the same for its first appearance and a new one for every other; `whole` tells
    whether every word of it is there.
    """

    said: Said
    origin: int
    whole: bool


@dataclass(frozen=True, slots=True)
class _Part:
    """What one passage holds of an utterance; `until` is its end on the timeline."""

    said: Said
    original: Said
    until: float


def heard_in(cut: Cut, utterances: Sequence[Said]) -> tuple[Heard, ...]:
    """Return what is said in the cut, in its order."""
    in_order = sorted(utterances, key=lambda u: (u.start, u.end))
    parts: list[_Part] = []
    for passage in cut.passages:
        for one in in_order:
            after = _goes_on(parts[-1], one, passage) if parts else None
            part = _part(one, passage, _NEVER if after is None else after)
            if part is None:
                continue
            if after is None:
                parts.append(part)
            else:
                joined = _joined(parts[-1].said, part.said)
                parts[-1] = replace(part, said=joined)
    return tuple(_numbered(parts, max((u.id for u in utterances), default=0) + 1))


def left_out(heard: Iterable[Heard], utterances: Iterable[Said]) -> tuple[Said, ...]:
    """Return the utterances of which nothing is said in the cut."""
    there = {one.origin for one in heard}
    return tuple(u for u in utterances if u.id not in there)


def _part(one: Said, passage: Passage, after: float) -> _Part | None:
    """Return what a passage holds of an utterance later than `after`, in the cut's time."""
    first, last = passage.start + passage.distance, passage.end + passage.distance
    if one.end < first - TOLERANCE or one.start > last + TOLERANCE:
        return None

    def there(start: float, end: float) -> bool:
        middle = (start + end) / 2
        return middle > after and holds(passage, middle)

    heard, said, text = (
        " ".join(w.text for w in timed(wording, one) if there(w.start, w.end))
        for wording in (one.heard, one.said, one.text)
    )
    if not said:
        return None
    words = tuple(w for w in one.words if there(w.start, w.end))
    if said.split() == one.said.split():
        start, end = one.start, one.end
    elif words:
        start, end = words[0].start, words[-1].end
    else:
        start, end = max(one.start, first), min(one.end, last)
    back = passage.distance
    moved = tuple(
        Word(w.text, _earlier(w.start, back), _earlier(w.end, back), w.probability) for w in words
    )
    begin, finish = _earlier(start, back), _earlier(max(end, start), back)
    return _Part(Said(one.id, begin, finish, heard, said, text, moved), one, end)


def _goes_on(before: _Part, one: Said, passage: Passage) -> float | None:
    """Return the second of the timeline from which a passage goes on with an utterance."""
    on = passage.start + passage.distance > before.until - _JOINT
    near = passage.start - before.said.end < TRIMMED
    return before.until if before.original is one and on and near else None


def _joined(one: Said, other: Said) -> Said:
    return replace(
        one,
        end=max(one.end, other.end),
        heard=f"{one.heard} {other.heard}".strip(),
        said=f"{one.said} {other.said}".strip(),
        text=f"{one.text} {other.text}".strip(),
        words=(*one.words, *other.words),
    )


def _numbered(parts: Iterable[_Part], free: int) -> Iterable[Heard]:
    used: set[int] = set()
    for part in parts:
        said, original = part.said, part.original
        whole = said.said.split() == original.said.split()
        if whole:  # with the blanks it had
            said = replace(said, heard=original.heard, said=original.said, text=original.text)
        number = original.id
        if number in used:
            number, free = free, free + 1
        used.add(original.id)
        yield Heard(replace(said, id=number), original.id, whole)


def _earlier(seconds: float, by: float) -> float:
    return max(round(seconds - by, 3), 0.0)
