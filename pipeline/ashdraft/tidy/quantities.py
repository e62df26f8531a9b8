"""Spoken quantities in a row of pieces: a number and the unit that follows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .pieces import Piece, Span, join
from .vocabulary import vocabulary

LEAD = 4
"""Words that may stand before a new number: `it's`, `so`, `the ticket says`."""

_NO_AMOUNT = ("ordinal", "clock", "one", "fraction")
_BETWEEN = ((), ("or",), ("or", "is", "it"), ("or", "it's"))
"""What may stand between two numbers of which the second only doubts the first."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, pieces `first` up to `end`, and its unit up to `unit_end`.

    `chain` and `unit` tell of the numbers that follow one another without other words (`two
    touch-ups, or three`): the first piece of the first one, and the last unit that was said.
    `size` is the first piece of a size (`six by fifty`) that ends in this number, else `first`.
    """

    first: int
    end: int
    unit_end: int
    value: float | None
    chain: int
    unit: Span
    size: int


def quantities(pieces: Sequence[Piece], span: Span) -> tuple[Quantity, ...]:
    """Return the quantities in a span of pieces, in order."""
    from ..rules.numbers import read_numbers

    first, end = span
    offsets: list[int] = []
    place = 0
    for piece in pieces[first:end]:
        offsets.append(place)
        place += len(join([piece])) + 1
    found: list[Quantity] = []
    for number in read_numbers(join(pieces[first:end])):
        begin = first + sum(o <= number.start for o in offsets) - 1
        stop = first + sum(o < number.stop for o in offsets)
        covered = bool(found) and begin < found[-1].unit_end
        if number.form not in _NO_AMOUNT and not covered:
            before = found[-1] if found else None
            found.append(_quantity(pieces, begin, stop, end, number.value, before))
    return tuple(found)


def last_quantity(pieces: Sequence[Piece], span: Span) -> Quantity | None:
    """Return the quantity that a span ends with, None where other words follow it."""
    found = quantities(pieces, span)
    return found[-1] if found and found[-1].unit_end == span[1] else None


def leading_quantity(pieces: Sequence[Piece], span: Span) -> Quantity | None:
    """Return the quantity that a clause begins with, after a few leading words at most.

    The last number of a size stands for the size. None where more numbers follow: what the
    clause corrects is then not plain.
    """
    found = quantities(pieces, span)
    if len(found) > 1 and found[1].size == found[0].first:
        found = found[1:]
    if len(found) != 1:
        return None
    begin, leads = found[0].size, vocabulary().number_leads
    led = begin == span[0] or (begin - span[0] <= LEAD and pieces[begin - 1].lower in leads)
    return found[0] if led else None


def _quantity(
    pieces: Sequence[Piece], first: int, end: int, last: int, value: float | None,
    before: Quantity | None,
) -> Quantity:  # fmt: skip
    unit_end = _unit_end(pieces, end, last)
    unit, chain, size = (end, unit_end), first, first
    if before and pieces[before.unit_end - 1].stop:
        between = tuple(p.lower for p in pieces[before.unit_end : first])
        if between in _BETWEEN:
            chain = before.chain
            unit = before.unit if unit_end == end else unit
    elif before and [p.lower for p in pieces[before.unit_end : first]] == ["by"]:
        size = before.first
    return Quantity(first, end, unit_end, value, chain, unit, size)


def _unit_end(pieces: Sequence[Piece], at: int, end: int) -> int:
    if at and pieces[at - 1].stop:
        return at
    if [p.lower for p in pieces[at : at + 2]] == ["out", "of"] and at + 2 < end:
        return at + 3
    after = at
    while after < end and pieces[after].lower.rstrip("'") in vocabulary().units:
        after += 1
        if pieces[after - 1].stop:
            break
    return after
