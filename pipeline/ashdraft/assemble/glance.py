"""The facts at a glance: each with where it comes from, and which were never given."""

from __future__ import annotations

from pathlib import PurePath

from ..facts import NOTES_FACTS, merged
from ..model import Notes
from ..sheet.printed import heading, printed
from .markdown import added, escape, table
from .times import clock

ORDER = (
    "name", "maker", "format", "length_in", "ring_gauge", "wrapper", "binder", "filler", "country",
    "price", "box_price_each", "rh_percent", "rest_days", "samples", "smoking_minutes", "cut",
    "obtained", "note",
)  # fmt: skip


def glance(notes: Notes) -> str:
    """Return the table of facts and the line of those that nobody gave."""
    facts = merged(notes.reading.facts, notes.typed_facts)
    rows = [
        (_capital(heading(key)), escape(printed(key, facts)), escape(_origin(key, notes)))
        for key in ORDER
        if key in facts
    ]
    silent = [heading(key) for key in NOTES_FACTS if key not in facts and key != "currency"]
    parts = [table(("Fact", "Value", "From"), rows)] if rows else []
    if silent:
        parts.append(added(f"Not mentioned: {', '.join(silent)}."))
    return "\n\n".join(parts)


def title(notes: Notes) -> str:
    """Return the typed name, else what was said of format and country, else the file's name."""
    typed = notes.typed_facts
    names = [str(typed[key]) for key in ("maker", "name") if key in typed]
    if "name" in typed:
        return " ".join(names)
    facts = merged(notes.reading.facts, typed)
    parts = [str(facts[key]) for key in ("maker", "format", "country") if key in facts]
    if parts:
        return _capital(", ".join(parts))
    named = PurePath(notes.recordings[0].file).stem if notes.recordings else ""
    return named or "Spoken notes"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _origin(key: str, notes: Notes) -> str:
    if key in notes.typed_facts:
        return "typed"
    evidence = frozenset(notes.reading.fact_evidence.get(key, ()))
    starts = [clock(u.start) for u in notes.reading.utterances if u.id in evidence]
    return f"said at {', '.join(starts)}" if starts else "said"
