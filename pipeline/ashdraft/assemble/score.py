"""The score sheet as a Markdown table that can be typed into and read back (docs/sheet.md)."""

from __future__ import annotations

from collections.abc import Sequence

from ..sheet.definition import Evidence, FilledRow, FilledSheet, Scale
from .markdown import added, escape, items, quoted, table
from .times import clock

HEAD = ("Section", "Criterion", "Weight", "Mark", "Evidence")
QUOTES = 3
"""Quotations shown in a cell; the times of the others follow."""
LONGEST = 70
"""Characters of a quotation in a cell."""
TIMES = 4
NO_EVIDENCE = "not mentioned"
OPEN_TOTAL = "Total: open, no mark has been added up."


def score(sheet: FilledSheet) -> str:
    """Return the section: how to mark, the table, the place of the total, other spoken marks."""
    definition = sheet.definition
    rows = [
        (escape(section.name), *_cells(row))
        for section in definition.sections
        for row in sheet.of_section(section)
    ]
    parts = ["## Score sheet", added(_how(definition.name, definition.scale)), table(HEAD, rows)]
    parts.append(added(OPEN_TOTAL))
    if sheet.unplaced:
        parts.append(items(_shown(evidence) for evidence in sheet.unplaced))
    return "\n\n".join(parts)


def _how(name: str, scale: Scale) -> str:
    words = "; ".join(f"{mark:g} {escape(text)}" for mark, text in scale.anchors.items())
    steps = "" if scale.step == 1 else f" in steps of {scale.step:g}"
    anchors = f": {words}" if words else ""
    return f"{escape(name)}, marks from {scale.lowest:g} to {scale.highest:g}{steps}{anchors}."


def _cells(filled: FilledRow) -> Sequence[str]:
    row = filled.row
    mark = "" if filled.mark is None else f"{filled.mark:g}"
    return (escape(row.name), f"{row.weight:g}", mark, _evidence(filled.evidence))


def _evidence(evidence: Sequence[Evidence]) -> str:
    quotes = [e for e in evidence if e.kind == "quote"]
    parts = [_shown(e) for e in evidence if e.kind != "quote"]
    parts += [_shown(e) for e in quotes[:QUOTES]]
    if more := [t for e in quotes[QUOTES:] for t in e.at]:
        parts.append(f"more at {_times(more)}")
    return "; ".join(parts) or NO_EVIDENCE


def _shown(evidence: Evidence) -> str:
    text = quoted(evidence.quote, LONGEST) if evidence.quote else escape(evidence.label)
    return f"{text} ({_times(evidence.at)})" if evidence.at else text


def _times(starts: Sequence[float]) -> str:
    shown = list(dict.fromkeys(clock(s) for s in starts))
    more = f" and {len(shown) - TIMES} more" if len(shown) > TIMES else ""
    return f"{', '.join(shown[:TIMES])}{more}"
