"""Facts and marks of this cigar, as said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...model import Check, FactValue
from ..ground import ground
from ..lines import Line
from ..place.model import Placed
from . import marks as _marks
from .country import read_country
from .found import Sections
from .leaf import read_leaf
from .marks import Marks
from .minutes import read_minutes
from .plausible import plausible, thickness
from .price import read_price
from .samples import read_samples
from .size import read_format, read_size
from .storage import read_humidity, read_rest

ORDER = (
    "length_in", "ring_gauge", "price", "currency", "box_price_each", "rh_percent", "rest_days",
    "samples", "wrapper", "binder", "filler", "country", "format", "smoking_minutes",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Facts:
    """Facts by their names in notes.json, the utterance ids that say each, and what to check."""

    values: Mapping[str, FactValue]
    evidence: Mapping[str, tuple[int, ...]]
    checks: tuple[Check, ...]


def read_facts(lines: Sequence[Line], placed: Sequence[Placed]) -> Facts:
    """The facts said of this cigar.

    Lengths are inches, prices are in `currency` (ISO 4217), rest is days, smoking time minutes.
    What was not said is not there.
    """
    base = ground(lines)
    sections = Sections(base, placed)
    prices, checks = read_price(base, sections)
    found = [
        *read_size(base, sections), *prices, *read_humidity(base, sections),
        *read_rest(base, sections), *read_samples(base, sections), *read_leaf(base, sections),
        *read_country(base, sections), *read_format(base, sections),
        *read_minutes(base, sections),
    ]  # fmt: skip
    by_key = {f.key: f for f in reversed(found)}
    facts = {key: by_key[key].value for key in ORDER if key in by_key}
    evidence = {
        key: tuple(
            dict.fromkeys(
                base.row.lines[n].id
                for first, end in by_key[key].spans
                for n in range(base.row.words[first].line, base.row.words[end - 1].line + 1)
            )
        )
        for key in facts
    }
    checks += thickness(base, sections, facts.get("ring_gauge"))
    return Facts(facts, evidence, (*checks, *plausible(facts, evidence)))


def read_marks(lines: Sequence[Line], placed: Sequence[Placed]) -> Marks:
    """Spoken marks, the last of each item and those before; `scale` None where none was said."""
    return _marks.read_marks(ground(lines), placed)
