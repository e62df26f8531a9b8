"""Trade facts that the rules lean on, against published values or marked `from memory`."""

from __future__ import annotations

import pytest
from ashdraft.rules.facts import read_facts
from ashdraft.rules.facts.plausible import SHAPES, ring_mm
from ashdraft.rules.facts.size import LENGTH, RING
from ashdraft.rules.lines import Line
from ashdraft.rules.place.model import Placed

# Ring gauge to millimetres, d = ring x 25.4 / 64: the definition from memory (trade practice), the
# arithmetic from the exact inch.
RINGS = {
    38: 15.08, 40: 15.88, 42: 16.67, 44: 17.46, 46: 18.26, 47: 18.65, 48: 19.05, 50: 19.84,
    52: 20.64, 54: 21.43, 56: 22.23, 58: 23.02, 60: 23.81, 64: 25.40,
}  # fmt: skip


@pytest.mark.parametrize(("ring", "mm"), RINGS.items())
def test_ring_gauge_is_a_sixty_fourth_of_an_inch(ring: int, mm: float) -> None:
    assert ring_mm(ring) == pytest.approx(mm, abs=0.0051)


# Usual sizes of the names, inch x ring: from memory; there is no standard.
@pytest.mark.parametrize(
    ("name", "length", "ring"),
    [
        ("petit corona", 5, 42), ("corona", 5.5, 42), ("robusto", 5, 50), ("rothschild", 4.5, 50),
        ("corona gorda", 5.625, 46), ("toro", 6, 52), ("lonsdale", 6.5, 42), ("panatela", 6, 38),
        ("lancero", 7.5, 38), ("churchill", 7, 47), ("double corona", 7.625, 49), ("gordo", 6, 60),
    ],
)  # fmt: skip
def test_shapes_have_their_usual_sizes(name: str, length: float, ring: int) -> None:
    shape = SHAPES[name]
    assert shape.lengths[0] <= length <= shape.lengths[1]
    assert shape.rings[0] <= ring <= shape.rings[1]


def test_plausible_range_of_a_size() -> None:
    # 3 to 10 inches and 20 to 80 ring: from memory
    assert (LENGTH, RING) == ((3.0, 10.0), (20, 80))


def _checks(text: str) -> list[str]:
    placed = (Placed("setup", None, None, 0.9, 0),)
    return [c.message for c in read_facts((Line(0, 0.0, 5.0, text, ()),), placed).checks]


def test_diameter_that_fits_the_ring_needs_no_look() -> None:
    assert not _checks("Ring fifty, and it is twenty millimetres across.")


def test_diameter_that_does_not_fit_the_ring_is_flagged() -> None:
    (message,) = _checks("Ring fifty, and it is twenty-four millimetres across.")
    assert "19.8 mm" in message
