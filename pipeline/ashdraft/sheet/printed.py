"""Facts as they are printed in the draft and beside the rows of the sheet."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ..facts import words
from ..model import FactValue

INCH_MM = 25.4
"""One inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
RING_MM = INCH_MM / 64
"""Ring gauge is the diameter in 1/64 inch (trade practice)."""

_UNITS = {"rh_percent": " %", "smoking_minutes": " min"}
_IN_THE_VALUE = (" in inches", " in percent", " in minutes")


def printed(key: str, facts: Mapping[str, FactValue]) -> str:
    """Return the value of a fact: sizes with millimetres, money with its currency."""
    fact = facts[key]
    if isinstance(fact, str):
        return fact
    if key == "length_in":
        return f"{inches(fact)} in ({fact * INCH_MM:.0f} mm)"
    if key == "ring_gauge":
        return f"{fact:g} ({fact * RING_MM:.1f} mm across)"
    if key in ("price", "box_price_each"):
        return f"{facts.get('currency', '')} {fact:.2f}".strip()
    return f"{fact:g}{_UNITS.get(key, '')}"


def heading(key: str) -> str:
    """Return the name of a fact without the unit that its value shows."""
    text = words(key)
    for unit in _IN_THE_VALUE:
        text = text.removesuffix(unit)
    return text


def inches(length: float) -> str:
    """Return a length as the trade writes it, `5 1/2`; in decimals where it is no sixteenth."""
    exact = Fraction(length).limit_denominator(16)
    if abs(float(exact) - length) > 1e-6:
        return f"{length:.10g}"
    whole, rest = divmod(exact, 1)
    return f"{whole} {rest}" if rest and whole else str(exact)
