"""Everything that several sessions of one cigar come to, before a word of it is printed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..facts import TYPED_ONLY, words
from ..model import Check, FactValue
from ..sheet import SheetDefinition
from .marks import PooledSheet, pooled_sheets
from .measures import Measures, measures
from .opposites import Contradiction, contradictions
from .sizes import OfOneSize, by_size
from .sticks import Stick, one_cigar
from .taste import Taste, taste

STORAGE = ("rh_percent", "rest_days")
_OF_THE_CIGAR = ("maker", "wrapper", "binder", "filler", "country")
_MINUTES_APART = 5.0
"""Told and recorded smoking times that lie further apart are listed."""


@dataclass(frozen=True, slots=True)
class Group:
    """The sticks of one size and all that is drawn from them together."""

    of: OfOneSize
    measures: Measures
    taste: Taste
    contradictions: tuple[Contradiction, ...]
    sheets: tuple[PooledSheet, ...]

    @property
    def sticks(self) -> tuple[Stick, ...]:
        return self.of.sticks


@dataclass(frozen=True, slots=True)
class Pool:
    """The sessions of one cigar. `checks` are for the reviewer, before publishing."""

    name: str | None
    sticks: tuple[Stick, ...]
    groups: tuple[Group, ...]
    checks: tuple[Check, ...]

    @property
    def agreed_facts(self) -> dict[str, FactValue]:
        """Facts of the cigar that every stick which tells them tells alike."""
        return {
            key: value for key in _OF_THE_CIGAR if (value := _only(self.sticks, key)) is not None
        }

    @property
    def stored_differently(self) -> bool:
        return any(len(set(differing(self.sticks, key).values())) > 1 for key in STORAGE)


def pool(
    sticks: Sequence[Stick], definition: SheetDefinition | None = None, name: str | None = None
) -> Pool:
    """Return what `sticks` come to. `definition` is the sheet of sticks that do not keep theirs.

    Raises `UsageError` where the sticks are of different cigars and no `name` is given.
    """
    cigar = one_cigar(sticks, name)
    groups = tuple(_group(of, definition) for of in by_size(sticks))
    return Pool(cigar, tuple(sticks), groups, tuple(_checks(sticks, groups, name)))


def differing(sticks: Sequence[Stick], key: str) -> dict[int, FactValue]:
    """Return the values of a fact by stick, without the sticks that do not tell it."""
    return {stick.number: stick.facts[key] for stick in sticks if key in stick.facts}


def _group(of: OfOneSize, definition: SheetDefinition | None) -> Group:
    tasted = taste(of.sticks)
    return Group(
        of,
        measures(of.sticks),
        tasted,
        contradictions(of.sticks, tasted),
        pooled_sheets(of.sticks, definition),
    )


def _only(sticks: Sequence[Stick], key: str) -> FactValue | None:
    found = {str(v).casefold(): v for _, v in sorted(differing(sticks, key).items())}
    return next(iter(found.values())) if len(found) == 1 else None


def _checks(sticks: Sequence[Stick], groups: Sequence[Group], name: str | None) -> Iterator[Check]:
    """What to look at before publishing; checks of the kind "fact" may hold spoken words."""
    unnamed = [stick.number for stick in sticks if "name" not in stick.facts]
    if name is None and unnamed:
        yield Check(
            "input",
            f"No name was typed for {numbered(unnamed)}: that it is the same cigar is your word.",
        )
    for key in ("name", *_OF_THE_CIGAR) if name else _OF_THE_CIGAR:
        told = differing(sticks, key)
        if len({str(value).casefold() for value in told.values()}) > 1:
            kind = "input" if key in TYPED_ONLY else "fact"
            yield Check(kind, f"The {words(key)} differs: {by_value(told)}.")
    for group in groups:
        yield from _measured_checks(group)
    untold = [stick.number for stick in sticks if stick.tallied is None]
    if untold:
        text = f"No typed marks for {numbered(untold)}: not tallied yet, left out, not zero."
        yield Check("missing", text)
    if any(len(group.sheets) > 1 for group in groups):
        yield Check("input", "Marks stand on different sheets; these are never pooled.")
    anonymous = [stick.number for stick in sticks if not stick.reviewer]
    if anonymous and len(anonymous) < len(sticks):
        yield Check("input", f"No reviewer is named for {numbered(anonymous)}.")


def _measured_checks(group: Group) -> Iterator[Check]:
    for number in group.of.assumed:
        yield Check(
            "missing",
            f"The size of stick {number} was not told in full; it is counted as "
            f"{group.of.size.words}, the only size it does not contradict.",
        )
    for row in group.measures.sticks:
        if row.told and row.recorded and abs(row.told - row.recorded) > _MINUTES_APART:
            yield Check(
                "contradiction",
                f"Stick {row.stick}: {row.told:.0f} min of smoking were told, the recording "
                f"shows {row.recorded:.0f} min; the time told is used.",
            )


def numbered(sticks: Sequence[int]) -> str:
    """Return sticks in words: `stick 2`, `sticks 1, 2 and 3`."""
    if len(sticks) == 1:
        return f"stick {sticks[0]}"
    *most, last = (str(n) for n in sticks)
    return f"sticks {', '.join(most)} and {last}"


def by_value(told: Mapping[int, FactValue]) -> str:
    """Return a fact's values, each with its sticks: `65 (stick 1), 69 (sticks 2 and 3)`."""
    rows: dict[str, list[int]] = {}
    for number, value in sorted(told.items()):
        rows.setdefault(f"{value:g}" if not isinstance(value, str) else value, []).append(number)
    return ", ".join(f"{value} ({numbered(sticks)})" for value, sticks in rows.items())
