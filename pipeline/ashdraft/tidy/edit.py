"""Taking words out of a row of pieces so that the punctuation around them still fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .pieces import Piece, sentence_start, starts_sentence
from .vocabulary import Phrase, Phrases, vocabulary

_ASKING = ("who", "who's", "what", "what's")
"""After these a sentence part may end in "for": "who's it for, somebody patient"."""
_PRONOUNS = ("i", "he", "she", "we", "they")
"""These end a clause where an article or an answer follows: "where was I, um, the finish"."""
_GIVING = ("give", "call", "make", "gave")
"""After these "it" leans on what follows: "give it, um, seven"."""


def matched(pieces: Sequence[Piece], at: int, phrases: Phrases) -> Phrase | None:
    """Return the longest of `phrases` that stands at `at` without a stop inside."""
    for phrase in phrases.get(pieces[at].lower, ()) if at < len(pieces) else ():
        window = pieces[at : at + len(phrase)]
        if tuple(p.lower for p in window) == phrase and not any(p.stop for p in window[:-1]):
            return phrase
    return None


def drop(pieces: Sequence[Piece], first: int, end: int, tight: bool = False) -> list[Piece]:
    """Return `pieces` without `first` up to `end`.

    A full stop that went with them stands after the word before; a pause is kept where it can
    be, unless `tight`. Nothing is dropped where a quotation mark or bracket would lose its partner.
    """
    if any(p.enclosed for p in pieces[first:end]):
        return list(pieces)
    before, gone, after = list(pieces[:first]), pieces[first:end], list(pieces[end:])
    if not before or not gone or starts_sentence(pieces, first):
        return before + after
    last = before[-1]
    if gone[-1].ends or not after:
        stop = gone[-1].stop or last.stop
    elif last.stop and not tight and _keeps_pause(before, after[0]):
        stop = last.stop
    else:
        stop = ""
    if not stop and after and is_number(last.lower) and is_number(after[0].lower):
        stop = ","  # "a box of twenty, um, six hundred" is not twenty-six hundred
    before[-1] = replace(last, stop=stop)
    return before + after


def is_number(word: str) -> bool:
    """Return True for a word that is a number or part of one."""
    from ..rules.numbers import read_numbers

    return bool(read_numbers(word))


def leans(piece: Piece) -> bool:
    """Return True for a word that leans on the next one (an article, `it's`, `with`)."""
    word = piece.lower
    return word in vocabulary().leaning or word.endswith(("'s", "'re", "'m", "'ve", "'d", "'ll"))


def _keeps_pause(before: Sequence[Piece], after: Piece) -> bool:
    words = vocabulary()
    last = before[-1].lower
    given = last == "it" and len(before) > 1 and before[-2].lower in _GIVING
    if after.lower in words.verbs or given:
        return False
    if not leans(before[-1]):
        return True
    if last in _PRONOUNS and after.lower in words.determiners | words.answers:
        return True
    if after.lower in words.subjects:
        return last not in words.joints and last not in words.before_subjects
    return last == "for" and before[sentence_start(before, len(before) - 1)].lower in _ASKING
