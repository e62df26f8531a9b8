"""Sticks built by hand, so that each figure can be checked without reading any speech."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ashdraft.model import (
    Count,
    Descriptor,
    MadeBy,
    MarkedRow,
    MarkedSection,
    MarkedSheet,
    Notes,
    Reading,
    Recording,
    Timing,
    Utterance,
)
from ashdraft.pool.sticks import Stick

SILENT = Count(0, (0, 0, 0), ())
NONE = Count(0, (0, 0, 0), (0,))
MADE_BY = MadeBy("0.1.0", None, "model", "lexicon")


def stick(
    number: int = 1,
    *,
    facts: Mapping[str, Any] | None = None,
    reviewer: str | None = None,
    day: str | None = None,
    touch_ups: Count = SILENT,
    relights: Count = SILENT,
    timing: Timing | None = None,
    notes: Sequence[Descriptor] = (),
    said: Sequence[tuple[str, int | None, str]] = (),
    sheet: MarkedSheet | None = None,
) -> Stick:
    """Return a stick; `said` are sections, thirds and words of utterances from 0 on."""
    utterances = tuple(
        Utterance(n, n * 60.0, n * 60.0 + 4, text, text, text, section, third, None, 1.0)  # type: ignore[arg-type]
        for n, (section, third, text) in enumerate(said or [("setup", None, "A stick.")])
    )
    reading = Reading(
        "live", utterances, tuple(notes), (), touch_ups, relights, dict(facts or {}),
        timing=timing or Timing(),
    )  # fmt: skip
    recording = Recording(f"stick{number}.wav", f"{number:064x}", 0.0, 5400.0)
    kept = Notes(MADE_BY, (recording,), reading, sheet=sheet)
    return Stick(number, f"stick{number}-draft", kept, dict(facts or {}), reviewer, day)


def note(term: str, third: int | None = 1, **changes: Any) -> Descriptor:
    row: dict[str, Any] = {
        "term": term, "family": "wood", "polarity": "present", "source": "palate",
        "intensity": "plain", "section": "palate", "third": third, "utterance": 0,
        "start": 60.0, "quote": f"there is {term}",
    }  # fmt: skip
    return Descriptor(**(row | changes))


def touched(*by_third: int) -> Count:
    one, two, three = by_third
    return Count(sum(by_third), (one, two, three), (0,))


def marked(marks: Mapping[str, float | None], **changes: Any) -> MarkedSheet:
    """Return a tallied sheet of one section, `smoke`; the rows are not weighted here."""
    rows = tuple(MarkedRow(id, "smoke", mark) for id, mark in marks.items())
    row: dict[str, Any] = {
        "name": "Shelf sheet", "closed": True, "rows": rows,
        "sections": (MarkedSection("smoke", None, 0.0),), "total": None, "unmarked": (),
    }  # fmt: skip
    return MarkedSheet(**(row | changes))
