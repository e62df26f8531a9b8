"""Checks facts against what a cigar can be; nothing is changed here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ...model import Check, FactValue
from ..ground import Ground
from ..numbers import INCH_MM
from ..phrases import pattern
from .found import Sections
from .size import LENGTH, RING
from .storage import HUMIDITY


class Shape(NamedTuple):
    """A named size: lengths in inches and ring gauges, lowest and highest."""

    lengths: tuple[float, float]
    rings: tuple[int, int]


SHAPES: Mapping[str, Shape] = {
    "petit corona": Shape((5, 5), (42, 42)),
    "corona": Shape((5.5, 5.5), (42, 42)),
    "robusto": Shape((5, 5), (50, 50)),
    "rothschild": Shape((4.5, 4.5), (48, 50)),
    "corona gorda": Shape((5.625, 5.625), (46, 46)),
    "toro": Shape((6, 6), (50, 52)),
    "lonsdale": Shape((6.5, 6.5), (42, 42)),
    "panatela": Shape((6, 6), (38, 38)),
    "lancero": Shape((7.5, 7.5), (38, 38)),
    "churchill": Shape((7, 7), (47, 48)),
    "double corona": Shape((7.5, 7.625), (49, 52)),
    "gordo": Shape((6, 6), (60, 60)),
}
"""Usual sizes of the names, from memory; there is no standard."""

LENGTH_SPREAD, RING_SPREAD = 1.0, 6
"""How far a maker's size may lie from the usual before it is worth a look: twice the usual half
inch and, with a margin, the two to four rings by which makers differ (from memory)."""

_RANGES: Mapping[str, tuple[float, float, str]] = {
    "length_in": (*LENGTH, "inches long"),
    "ring_gauge": (*RING, "ring gauge"),
    "rh_percent": (*HUMIDITY, "percent humidity"),
    "rest_days": (1, 3650, "days of rest"),
    "smoking_minutes": (10, 240, "minutes of smoking"),
    "samples": (1, 100, "sticks smoked"),
}


def ring_mm(ring: float) -> float:
    """Diameter in millimetres of a ring gauge, counted in 1/64 inch (trade practice, from memory;
    1 inch is 25.4 mm exactly)."""
    return ring * INCH_MM / 64


def thickness(ground: Ground, sections: Sections, ring: FactValue | None) -> tuple[Check, ...]:
    """A check where a diameter is said that is more than one ring from the ring gauge said."""
    if not isinstance(ring, int | float):
        return ()
    across = pattern(r"across|thick|wide|in diameter|diameter|by")
    for length in ground.lengths:
        near = (max(length.first - 2, 0), min(length.end + 3, len(ground.row.words)))
        said = any(True for _ in ground.row.find(across, *near))
        mm = length.inches * INCH_MM
        if sections.of(length.first) != "setup" or not said or not 10 <= mm <= 32:
            continue
        if abs(mm - ring_mm(ring)) > ring_mm(1):
            words = f"{mm:.1f} mm across is not a ring gauge of {ring:g} ({ring_mm(ring):.1f} mm)."
            return (Check("fact", words, (ground.line_id(length.first),)),)
    return ()


def plausible(
    facts: Mapping[str, FactValue], evidence: Mapping[str, tuple[int, ...]]
) -> tuple[Check, ...]:
    """One check for each value that can hardly be meant."""
    checks = []
    for key, (low, high, words) in _RANGES.items():
        value = facts.get(key)
        if isinstance(value, int | float) and not low <= value <= high:
            checks.append(
                Check("fact", f"{value:g} {words}: is that what was said?", evidence.get(key, ()))
            )
    shape = SHAPES.get(str(facts.get("format", "")).replace("panetela", "panatela"))
    length, ring = facts.get("length_in"), facts.get("ring_gauge")
    if shape and isinstance(length, int | float) and isinstance(ring, int | float):
        long = shape.lengths[0] - LENGTH_SPREAD <= length <= shape.lengths[1] + LENGTH_SPREAD
        thick = shape.rings[0] - RING_SPREAD <= ring <= shape.rings[1] + RING_SPREAD
        if not (long and thick):
            ids = evidence.get("format", ()) + evidence.get("length_in", ())
            checks.append(
                Check(
                    "fact", f"{length:g} by {ring:g} is unusual for a {facts['format']}.",
                    tuple(dict.fromkeys(ids)),
                )
            )  # fmt: skip
    each, single = facts.get("box_price_each"), facts.get("price")
    if isinstance(each, int | float) and isinstance(single, int | float) and each > single:
        ids = evidence.get("price", ()) + evidence.get("box_price_each", ())
        checks.append(
            Check("fact", f"By the box each costs more ({each:g}) than alone ({single:g}).",
                  tuple(dict.fromkeys(ids)))
        )  # fmt: skip
    return tuple(checks)
