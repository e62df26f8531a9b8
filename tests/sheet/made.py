"""Small readings made by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ashdraft.model import Descriptor, Intensity, Polarity, Reading, Section, Source, Utterance
from ashdraft.tidy import tidy


def said(
    n: int, text: str, section: Section = "palate", third: int | None = None, start: float = -1.0
) -> Utterance:
    """Utterance `n`, said at second 10 n unless told otherwise."""
    at = 10.0 * n if start < 0 else start
    basis = "said" if third else None
    return Utterance(n, at, at + 4.0, text, text, tidy(text), section, third, basis, 1.0)


def note(
    term: str,
    third: int | None,
    n: int = 0,
    *,
    polarity: Polarity = "present",
    intensity: Intensity = "plain",
    source: Source = "palate",
    section: Section = "palate",
    family: str = "wood",
    start: float = -1.0,
) -> Descriptor:
    """A tasting note of utterance `n`."""
    at = 10.0 * n if start < 0 else start
    return Descriptor(term, family, polarity, source, intensity, section, third, n, at, term)


def reading(utterances: Sequence[Utterance] = (), **others: Any) -> Reading:
    """A reading of a live session."""
    return Reading(kind=others.pop("kind", "live"), utterances=tuple(utterances), **others)
