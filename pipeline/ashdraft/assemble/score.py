"""The score sheet as a Markdown table that can be typed into and read back (docs/sheet.md)."""

from __future__ import annotations

from collections.abc import Sequence

from ..sheet.block import OPEN_TOTAL, block
from ..sheet.definition import Evidence, FilledRow, FilledSheet, Scale, figure
from .markdown import added, escape, items, quoted, table
from .times import clock

HEAD = ("Section", "Criterion", "Weight", "Mark", "Evidence")
QUOTES = 3
"""Quotations shown in a cell; the times of the others follow."""
LONGEST = 70
"""Characters of a quotation in a cell."""
TIMES = 4
NO_EVIDENCE = "not mentioned"
HOW_TO_MARK = "Type a mark, or - for not judged, into the column Mark; ashdraft tally adds them up."


def score(sheet: FilledSheet) -> str:
    """Return the section: how to mark, the table, the place of the total, other spoken marks."""
    definition = sheet.definition
    rows = [
        (escape(section.name), *_cells(row))
        for section in definition.sections
        for row in sheet.of_section(section)
    ]
    parts = ["## Score sheet", added(_how(definition.name, definition.scale)), table(HEAD, rows)]
    parts.append("\n".join(block([added(OPEN_TOTAL)])))
    if sheet.unplaced:
        parts.append(items(_shown(evidence) for evidence in sheet.unplaced))
    return "\n\n".join(parts)


def _how(name: str, scale: Scale) -> str:
    words = "; ".join(f"{figure(mark)} {escape(text)}" for mark, text in scale.anchors.items())
    steps = "" if scale.step == 1 else f" in steps of {figure(scale.step)}"
    anchors = f": {words}" if words else ""
    ends = f"{figure(scale.lowest)} to {figure(scale.highest)}"
    return f"{escape(name)}, marks from {ends}{steps}{anchors}. {HOW_TO_MARK}"


def _cells(filled: FilledRow) -> Sequence[str]:
    row = filled.row
    mark = "" if filled.mark is None else figure(filled.mark)
    return (escape(row.name), figure(row.weight), mark, _evidence(filled.evidence))


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
