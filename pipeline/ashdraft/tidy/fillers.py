"""Hesitations, filler phrases and words that only start a turn of speech."""

from __future__ import annotations

from collections.abc import Sequence

from .edit import drop, is_number, leans, matched
from .pieces import Piece, starts_sentence
from .vocabulary import Phrase, vocabulary


def without_fillers(pieces: Sequence[Piece], raw: bool) -> list[Piece]:
    """Return `pieces` without fillers; `raw` says that the text has no punctuation."""
    kept = list(pieces)
    at = 0
    while at < len(kept):
        size = _hesitation(kept, at) or _filler(kept, at, raw) or _opener(kept, at, raw)
        tight = tuple(p.lower for p in kept[at : at + size]) in vocabulary().paused_tightly
        shorter = drop(kept, at, at + size, tight) if size else kept
        if len(shorter) < len(kept):
            kept = shorter
            at = max(0, at - 1)
        else:
            at += 1
    return kept


def _hesitation(pieces: Sequence[Piece], at: int) -> int:
    word = pieces[at].lower
    if word not in vocabulary().hesitations:
        return 0
    measure = word == "mm" and at and not pieces[at - 1].stop and is_number(pieces[at - 1].lower)
    return 0 if measure else 1


def _filler(pieces: Sequence[Piece], at: int, raw: bool) -> int:
    words = vocabulary()
    phrase = matched(pieces, at, words.paused)
    if phrase is None:
        return 0
    end = at + len(phrase)
    if raw:
        return len(phrase) if phrase == ("you", "know") and _unasked(pieces, at, end) else 0
    first = starts_sentence(pieces, at)
    if first:
        fits = phrase in words.paused_first and pieces[end - 1].pauses
    else:
        last = pieces[end - 1]
        set_off = pieces[at - 1].pauses or (phrase in words.searching and leans(pieces[at - 1]))
        fits = set_off and (
            last.pauses or ((last.ends or end == len(pieces)) and phrase in words.paused_last)
        )
    return len(phrase) if fits and (end < len(pieces) or not first) else 0


def _unasked(pieces: Sequence[Piece], at: int, end: int) -> bool:
    """True where "you know" tells nothing: not "do you know", not "you know the bit"."""
    words = vocabulary()
    before = pieces[at - 1].lower if at else ""
    told = end == len(pieces) or pieces[end].lower in words.after_know
    return before not in words.before_know and not told


def _opener(pieces: Sequence[Piece], at: int, raw: bool) -> int:
    if not starts_sentence(pieces, at):
        return 0
    words = vocabulary()
    phrase = matched(pieces, at, words.openers)
    if phrase is None:
        return 0
    end = at + len(phrase)
    if end >= len(pieces) or pieces[end].lower in ("left", "side"):
        return 0
    unpaused = phrase in words.openers_unpaused and (raw or _another(pieces, end))
    fits = unpaused or pieces[end - 1].pauses or pieces[end - 1].stop == "."
    return len(phrase) if fits else 0


def _another(pieces: Sequence[Piece], at: int) -> Phrase | None:
    """The opener that follows an opener: "okay so, ..."."""
    return matched(pieces, at, vocabulary().openers)
