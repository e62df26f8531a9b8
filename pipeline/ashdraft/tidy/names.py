"""Short names in a row of pieces: the notes and things that one word may stand for another of."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from .edit import matched
from .pieces import Piece, Span
from .quantities import quantities
from .vocabulary import vocabulary

LONGEST = 4
"""Words in the longest name that is recognised."""

_HEDGES = (("i", "guess"), ("i", "think"), ("as", "well"), ("too",), ("coming", "in"))


def name_before(pieces: Sequence[Piece], span: Span) -> Span | None:
    """Return the name that the words before a withdrawal end with.

    Hedges after it (`walnut, I guess`) are passed; the span then ends before them. Where the
    words end with no name, it is the tasting note that their clause names (`I get walnut
    underneath that`).
    """
    words = vocabulary()
    start, end = span
    for hedge in _HEDGES:
        tail = tuple(p.lower for p in pieces[max(start, end - len(hedge)) : end])
        if tail == hedge and end - len(hedge) > start:
            end -= len(hedge)
            break
    first = end
    while first > start and end - first < LONGEST:
        piece = pieces[first - 1]
        word = piece.lower
        if piece.enclosed or (first < end and piece.stop):
            break
        if word in words.outside_names or word.endswith(("'s", "'d", "'ve", "'m", "'re")):
            break
        if word in words.not_names:
            break
        first -= 1
        if word in words.determiners:
            break
    return (first, end) if _is_name(pieces, first, end) else _note_named(pieces, span)


def _note_named(pieces: Sequence[Piece], span: Span) -> Span | None:
    """The tasting note that stands right behind `it's`, `I get` and the like in a clause."""
    for first in range(span[1] - 1, span[0] - 1, -1):
        if first < span[1] - 1 and pieces[first].stop:
            return None
        phrase = matched(pieces, first, vocabulary().copulas)
        at = first + len(phrase) if phrase else span[1]
        size = max((n for n in range(1, LONGEST + 1) if _noted(pieces, at, at + n)), default=0)
        if size:
            return at, at + size
    return None


def name_after(pieces: Sequence[Piece], clause: Span, raw: bool) -> Span | None:
    """Return the name that a clause consists of, after `it's`, `I'd say` and the like."""
    words = vocabulary()
    first, end = clause
    while first < end and (phrase := matched(pieces, first, words.copulas)):
        first += len(phrase)
    if raw and end - first > 2:
        end = first + max((n for n in range(1, LONGEST + 1) if _noted(pieces, first, first + n)),
                          default=0)  # fmt: skip
    if end - first > LONGEST + 1 or any(p.enclosed for p in pieces[first:end]):
        return None
    return (first, end) if _is_name(pieces, first, end) else None


def same_kind(pieces: Sequence[Piece], old: Span, new: Span, sure: bool, whole: bool) -> bool:
    """Return True where one name may stand for the other.

    Both are tasting notes; or the correction is `sure`, neither is, they have the same kind of
    article, and the old one is no place on the cigar; or a note that was the `whole` sentence
    gives way to an unknown word.
    """
    noted = (_has_note(pieces, old), _has_note(pieces, new))
    if noted[0] and (noted[1] or (whole and new[1] - new[0] == 1)):
        return True
    articles = [pieces[s[0]].lower in ("a", "an") for s in (old, new)]
    places = [pieces[s[1] - 1].lower in vocabulary().places for s in (old, new)]
    return sure and not any(noted) and articles[0] == articles[1] and places[0] <= places[1]


def doubt_before(pieces: Sequence[Piece], start: int, old: Span, new: Span) -> int | None:
    """Return where a doubt begins that the speaker then drops.

    `toast, or maybe crumpets, no, it's toast`: the doubt begins at `or`.
    """
    begin = old[0]
    while begin > start and not pieces[begin - 1].stop:
        begin -= 1
    if begin == start or pieces[begin].lower != "or":
        return None
    name = [p.lower for p in pieces[new[0] : new[1]]]
    earlier = [p.lower for p in pieces[start:begin]]
    size = len(name)
    again = any(earlier[n : n + size] == name for n in range(len(earlier) - size + 1))
    return begin if again else None


def clause_of_name(pieces: Sequence[Piece], start: int, old: Span) -> int | None:
    """Return where the clause that names `old` begins: the `there's` of `there's oak coming in`."""
    words = vocabulary()
    for first in range(max(start, old[0] - 3), old[0]):
        phrase = matched(pieces, first, words.copulas)
        if phrase and first + len(phrase) == old[0]:
            return first
    return None


@cache
def _notes() -> frozenset[str]:
    from ..rules.data import lexicon
    from ..rules.nlp import plural

    known = lexicon()
    return frozenset(known) | frozenset(plural(term) for term in known)


def _noted(pieces: Sequence[Piece], first: int, end: int) -> bool:
    return " ".join(p.lower for p in pieces[first:end]) in _notes()


def _has_note(pieces: Sequence[Piece], span: Span) -> bool:
    first, end = span
    return any(_noted(pieces, a, b) for a in range(first, end) for b in range(a + 1, end + 1))


def _is_name(pieces: Sequence[Piece], first: int, end: int) -> bool:
    words = vocabulary()
    row = [p.lower for p in pieces[first:end]]
    if not row or any(w in words.not_names for w in row) or row[-1] in words.determiners:
        return False
    if quantities(pieces, (first, end)):
        return False
    return row[0] not in words.answers and row[0] not in words.outside_names
