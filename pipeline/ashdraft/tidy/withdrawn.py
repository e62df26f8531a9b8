"""Words that the speaker takes back: `cedar, no, hickory` is `hickory`.

A correction is followed only where old and new words are of one kind: a number for a number, a
tasting note for a tasting note, a short name for a short name. All else stays as it was said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from .edit import drop, matched
from .names import clause_of_name, doubt_before, name_after, name_before, same_kind
from .pieces import Piece, Span, sentence_end, sentence_start
from .quantities import Quantity, last_quantity, leading_quantity
from .vocabulary import Phrase, vocabulary

LONGEST_FRAGMENT = 6
"""Words of the longest sentence that "scratch that" takes back as a whole."""

EXPLANATIONS = 2
"""Clauses that may stand between the withdrawal and the new words."""


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """Words `first` up to `end` that withdraw what stands before them."""

    first: int
    end: int
    strong: bool
    numbers_only: bool
    scratched: bool


def without_withdrawn(pieces: Sequence[Piece], raw: bool) -> list[Piece]:
    """Return `pieces` with withdrawn words gone and the words that stand in their place."""
    kept = list(pieces)
    at = 1
    while at < len(kept):
        found = _withdrawal(kept, at, raw)
        shorter = _corrected(kept, found, raw) if found else None
        if shorter is None:
            at += 1
        else:
            kept = shorter
            at = 1
    return kept


def _withdrawal(pieces: Sequence[Piece], at: int, raw: bool) -> Withdrawal | None:
    """The withdrawing words that begin at `at`, as many phrases as follow one another."""
    words = vocabulary()
    before = pieces[at - 1]
    if not raw and not (before.pauses or before.stop == "."):
        return None
    end, strong, weak, scratched = at, False, False, False
    while phrase := _phrase(pieces, end):
        after = end + len(phrase)
        set_off = raw or pieces[after - 1].stop or phrase == ("or", "rather")
        if not set_off and not _phrase(pieces, after):
            break
        strong = strong or phrase in words.strong.get(phrase[0], ())
        weak = weak or phrase[0] in words.weak
        scratched = scratched or phrase[-1] == "that"
        end = after
    row = pieces[at:end]
    if not row or end == len(pieces) or any(p.enclosed for p in row) or row[-1].lower == "or":
        return None
    return Withdrawal(at, end, strong, not strong and (raw or not weak), scratched)


def _phrase(pieces: Sequence[Piece], at: int) -> Phrase | None:
    words = vocabulary()
    return matched(pieces, at, words.strong) or matched(pieces, at, words.weaker)


def _corrected(pieces: Sequence[Piece], what: Withdrawal, raw: bool) -> list[Piece] | None:
    """`pieces` after the correction, None where old and new words do not fit each other."""
    start = sentence_start(pieces, what.first - 1)
    last = sentence_end(pieces, what.end)
    if pieces[what.first - 1].stop in ("?", "!") and pieces[what.first - 1].stop:
        return None
    for first, end in _candidates(pieces, what.end, last):
        shorter = _number_for_number(pieces, what, start, (first, end))
        if shorter is None and not what.numbers_only:
            shorter = _name_for_name(pieces, what, start, (first, end), raw)
        if shorter is not None:
            return shorter
    short = what.first - start <= LONGEST_FRAGMENT
    return [*pieces[:start], *pieces[what.end :]] if what.scratched and short else None


def _candidates(pieces: Sequence[Piece], at: int, last: int) -> Iterator[Span]:
    """The clauses after a withdrawal that may hold the new words; explanations are passed."""
    words = vocabulary()
    for _ in range(EXPLANATIONS + 1):
        end = at
        while end < last and not pieces[end].stop:
            end += 1
        end = min(end + 1, last)
        yield at, end
        if not matched(pieces, at, words.explaining) or end - at > 8:
            return
        if end >= last:
            if last >= len(pieces):
                return
            last = sentence_end(pieces, end)
        at = end


def _number_for_number(
    pieces: Sequence[Piece], what: Withdrawal, start: int, clause: Span
) -> list[Piece] | None:
    """`fifty minutes, no, forty-eight` is `forty-eight minutes`."""
    new = leading_quantity(pieces, clause)
    old = last_quantity(pieces, (start, what.first))
    if new is None or old is None:
        return None
    begin, sized = old.chain, new.size < new.first
    if sized:
        begin = old.size
    if old.size == old.first if sized else new.value == old.value:
        return None
    unit: Sequence[Piece] = ()
    if new.unit_end == new.end:
        unit = pieces[old.unit[0] : old.unit[1]]
        if unit and 1 in (old.value, new.value):
            return None
    return [*pieces[:begin], *_moved(pieces, new, unit), *pieces[new.unit_end :]]


def _moved(pieces: Sequence[Piece], new: Quantity, unit: Sequence[Piece]) -> list[Piece]:
    """The new number with the old unit after it, ending as the new number ended."""
    number = list(pieces[new.size : new.unit_end])
    if not unit:
        return number
    stop = number[-1].stop
    number[-1] = replace(number[-1], stop="")
    return [*number, *unit[:-1], replace(unit[-1], stop=stop)]


def _name_for_name(
    pieces: Sequence[Piece], what: Withdrawal, start: int, clause: Span, raw: bool
) -> list[Piece] | None:
    """`there's hay, no, it's cut grass` is `there's cut grass`."""
    words = vocabulary()
    new = name_after(pieces, clause, raw)
    old = new and name_before(pieces, (start, what.first))
    if new is None or old is None or _words(pieces, new) == _words(pieces, old):
        return None
    doubted = doubt_before(pieces, start, old, new)
    if doubted is not None:
        return drop(pieces, doubted, new[1])
    lead = new[0] > clause[0]
    after = pieces[new[1]].lower if new[1] < len(pieces) else ""
    if not what.strong and not lead and after in words.answers:
        return None
    whole = old[0] == start and old[1] == what.first
    if not same_kind(pieces, old, new, sure=what.strong or lead, whole=whole and not lead):
        return None
    if not (what.strong or lead or whole or _named_before(pieces, old)):
        return None
    if old[1] < what.first:
        begun = clause_of_name(pieces, start, old)
        return [*pieces[:begun], *pieces[clause[0] :]] if lead and begun is not None else None
    if whole:
        return [*pieces[:start], *pieces[clause[0] :]]
    determiner = pieces[old[0]].lower in words.determiners
    first = old[0] + (determiner and pieces[new[0]].lower not in words.determiners)
    if first == old[1]:
        return None
    fitted = _lower(pieces[new[0]]) if pieces[what.end - 1].ends else pieces[new[0]]
    return [*pieces[:first], fitted, *pieces[new[0] + 1 :]]


def _words(pieces: Sequence[Piece], span: Span) -> list[str]:
    return [p.lower for p in pieces[span[0] : span[1]]]


def _named_before(pieces: Sequence[Piece], old: Span) -> bool:
    """True where a word before the old name says that it is one: `it's`, `like`, `and`."""
    words = vocabulary()
    before = pieces[old[0] - 1].lower
    return before in words.outside_names or before.endswith("'s") or bool(pieces[old[0] - 1].stop)


def _lower(piece: Piece) -> Piece:
    """A word that began a sentence and now stands inside one."""
    word = piece.word
    keeps = (piece.lower,) in vocabulary().capitals or word[1:] != word[1:].lower() or word == "I"
    return piece if keeps else replace(piece, word=word[0].lower() + word[1:])
