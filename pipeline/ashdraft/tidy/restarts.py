"""Stammers, words broken off, and beginnings that were begun again."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from .edit import drop
from .pieces import Piece
from .quantities import quantities
from .vocabulary import vocabulary

LONGEST = 4
"""Words of the longest beginning that is looked for twice."""

_LETTERS = re.compile(r"^(\w)-(?:\1-)*(?=\1)", re.IGNORECASE)
_COPULA = ("it's", "that's", "is", "was")


def without_restarts(pieces: Sequence[Piece]) -> list[Piece]:
    """Return `pieces` with what was said twice in a stammer said once, the last time."""
    kept = [_whole_word(p) for p in pieces]
    at = 0
    while at < len(kept):
        shorter = _shorter(kept, at)
        if shorter is None:
            at += 1
        else:
            kept = shorter
            at = max(0, at - LONGEST)
    return kept


def _whole_word(piece: Piece) -> Piece:
    """`b-b-bit` is `bit`."""
    match = _LETTERS.match(piece.word)
    return replace(piece, word=piece.word[match.end() :]) if match else piece


def _shorter(pieces: Sequence[Piece], at: int) -> list[Piece] | None:
    end = _broken_off(pieces, at) or _repeated(pieces, at) or _lengthened(pieces, at)
    if end:
        shorter = drop(pieces, at, end)
        return shorter if len(shorter) < len(pieces) else None
    return _begun_again(pieces, at)


def _broken_off(pieces: Sequence[Piece], at: int) -> int:
    """A word cut short before it, or the word before it, is said in full: `the fo- the foot`."""
    word = pieces[at].lower
    if len(word) < 2 or not word.endswith("-") or pieces[at].ends:
        return 0
    following = [p.lower for p in pieces[at + 1 : at + 3]]
    return at + 1 if any(f.startswith(word[:-1]) for f in following) else 0


def _repeated(pieces: Sequence[Piece], at: int) -> int:
    """The end of words at `at` that are said again at once, 0 where they are not."""
    words = vocabulary()
    if pieces[at].lower not in words.stammered:
        return _number_again(pieces, at)
    for size in range(LONGEST, 0, -1):
        first, second = pieces[at : at + size], pieces[at + size : at + 2 * size]
        inner = any(p.stop for p in (*first[:-1], *second[:-1]))
        if len(second) < size or second[-1].stop or inner:
            continue
        paused = first[-1].pauses
        if first[-1].ends or not _same(first, second):
            continue
        if size == 1 and pieces[at].lower in words.stammered_paused and not paused:
            continue
        if size == 1 and pieces[at].lower in words.objects and not _begins_clause(pieces, at):
            continue
        return at + size
    return 0


def _number_again(pieces: Sequence[Piece], at: int) -> int:
    """`three, three touch-ups` counts to three once."""
    if not pieces[at].pauses or at + 2 > len(pieces) or pieces[at + 1].stop:
        return 0
    if pieces[at].lower != pieces[at + 1].lower:
        return 0
    counted = quantities(pieces, (at + 1, len(pieces)))
    return at + 1 if counted and (counted[0].first, counted[0].end) == (at + 1, at + 2) else 0


def _lengthened(pieces: Sequence[Piece], at: int) -> int:
    """`it, it's` at the head of a clause, and the like."""
    if at + 1 >= len(pieces) or not pieces[at].pauses or not _begins_clause(pieces, at):
        return 0
    short, long = pieces[at].lower, pieces[at + 1].lower
    subjects = vocabulary().subjects
    return at + 1 if {short, long} <= subjects and long.startswith(short + "'") else 0


def _begins_clause(pieces: Sequence[Piece], at: int) -> bool:
    before = pieces[at - 1] if at else None
    return before is None or bool(before.stop) or before.lower in vocabulary().joints


def _same(first: Sequence[Piece], second: Sequence[Piece]) -> bool:
    ours, theirs = ([p.lower for p in row] for row in (first, second))
    return ours == theirs or (len(ours) == 1 and {*ours, *theirs} == {"a", "an"})


def _begun_again(pieces: Sequence[Piece], at: int) -> list[Piece] | None:
    """`the band's a, it's a little bird` is `the band's a little bird`."""
    if at == 0 or at + 2 >= len(pieces) or not pieces[at].pauses:
        return None
    before, article, verb, again = pieces[at - 1 : at + 3]
    fits = (
        article.lower in ("a", "an", "the")
        and again.lower == article.lower
        and verb.lower in _COPULA
        and not verb.stop
        and not (article.enclosed or verb.enclosed or again.enclosed)
        and before.lower.endswith(("'s", "is", "was"))
        and not before.stop
    )
    return [*pieces[:at], replace(article, stop=again.stop), *pieces[at + 3 :]] if fits else None
