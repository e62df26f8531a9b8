"""Sizes kept apart: sticks of one size are pooled, sticks of two sizes never."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..model import FactValue
from ..sheet.printed import INCH_MM, RING_MM, inches
from .sticks import Stick

UNKNOWN = "size not mentioned"
_SIXTEENTH = 16

_Key = tuple[int | None, int | None, str]
"""Length in sixteenths of an inch, ring gauge, and the format where one of these is missing."""


@dataclass(frozen=True, slots=True)
class Size:
    """What is known of a size: inches, 1/64 inch across, the format's name."""

    length_in: float | None
    ring_gauge: int | None
    format: str | None

    @property
    def words(self) -> str:
        """The size as the trade writes it, with millimetres: `5 5/8 x 46 (143 x 18.3 mm)`."""
        if self.length_in is not None and self.ring_gauge is not None:
            millimetres = f"{self.length_in * INCH_MM:.0f} x {self.ring_gauge * RING_MM:.1f} mm"
            return f"{inches(self.length_in)} x {self.ring_gauge} ({millimetres})"
        known = []
        if self.format:
            known.append(self.format)
        if self.length_in is not None:
            known.append(f"{inches(self.length_in)} in ({self.length_in * INCH_MM:.0f} mm) long")
        if self.ring_gauge is not None:
            known.append(f"ring gauge {self.ring_gauge} ({self.ring_gauge * RING_MM:.1f} mm)")
        return ", ".join(known) or UNKNOWN


@dataclass(frozen=True, slots=True)
class OfOneSize:
    """Sticks that may be pooled. `assumed` are those counted in though their size was not
    told in full; no measure of length is taken from them.
    """

    size: Size
    sticks: tuple[Stick, ...]
    assumed: tuple[int, ...]


def by_size(sticks: Sequence[Stick]) -> tuple[OfOneSize, ...]:
    """Return the sticks by size, those of the first stick's size first.

    Lengths are one to the nearest sixteenth of an inch. A stick whose size was told in part or
    not at all joins the one size that it does not contradict; where there are two such, or
    none, it stands by itself or with those of which the same was told. The order of the sticks
    does not change which belong together.
    """
    formats: dict[_Key, set[str]] = {}
    for stick in sticks:
        if _whole(key := _key(stick.facts)):
            formats.setdefault(key, set()).update(_format(stick.facts))
    groups: dict[_Key, list[Stick]] = {}
    assumed: set[int] = set()
    for stick in sticks:
        key = _key(stick.facts)
        if not _whole(key):
            fitting = [k for k in formats if _fits(key, _format(stick.facts), k, formats[k])]
            if len(fitting) == 1:
                key = fitting[0]
                assumed.add(stick.number)
        groups.setdefault(key, []).append(stick)
    return tuple(
        OfOneSize(_size(key, row), tuple(row), tuple(s.number for s in row if s.number in assumed))
        for key, row in groups.items()
    )


def length_mm(stick: Stick) -> float | None:
    """Return the length of a stick in millimetres, where it was told."""
    length = _number(stick.facts, "length_in")
    return None if length is None else length * INCH_MM


def _key(facts: Mapping[str, FactValue]) -> _Key:
    """Return what tells one size from another; the format's name only where no inches do."""
    length, ring = _number(facts, "length_in"), _number(facts, "ring_gauge")
    sixteenths = None if length is None else round(length * _SIXTEENTH)
    across = None if ring is None else round(ring)
    whole = sixteenths is not None and across is not None
    return sixteenths, across, "" if whole else min(_format(facts), default="")


def _whole(key: _Key) -> bool:
    return key[0] is not None and key[1] is not None


def _fits(part: _Key, own: set[str], whole: _Key, formats: set[str]) -> bool:
    """True where nothing that was told of a stick speaks against a size that is known."""
    measures = all(one is None or one == other for one, other in zip(part[:2], whole, strict=False))
    return measures and (not own or not formats or bool(own & formats))


def _size(key: _Key, sticks: Sequence[Stick]) -> Size:
    formats = sorted({str(s.facts["format"]) for s in sticks if "format" in s.facts})
    length, ring, _ = key
    return Size(
        None if length is None else length / _SIXTEENTH,
        ring,
        formats[0] if formats else None,
    )


def _format(facts: Mapping[str, FactValue]) -> set[str]:
    return {str(facts["format"]).casefold()} if "format" in facts else set()


def _number(facts: Mapping[str, FactValue], key: str) -> float | None:
    value = facts.get(key)
    return float(value) if isinstance(value, int | float) else None
