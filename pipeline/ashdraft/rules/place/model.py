"""What the placing of an utterance says."""

from __future__ import annotations

from dataclasses import dataclass

from ...model import Section, ThirdBasis


@dataclass(frozen=True, slots=True)
class Placed:
    """Where an utterance belongs.

    `third` is the third described (palate and burn only). `current` is the third being smoked
    or told at that moment, whatever is described: 0 before lighting, 1 to 3, 4 when the stick
    is down. `confidence` is the calibrated probability that section and third are right.
    """

    section: Section
    third: int | None
    basis: ThirdBasis | None
    confidence: float
    current: int
