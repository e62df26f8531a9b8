"""The YAML front matter: what a static-site generator needs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from typing import Any

from ..facts import merged
from ..model import Count, Notes, Utterance
from ..sheet.definition import FilledSheet
from .glance import ORDER, title
from .markdown import one_line


def front_matter(notes: Notes, sheet: FilledSheet, disclosure: Sequence[Utterance]) -> str:
    """Return the block between its `---` lines.

    Strings are quoted by PyYAML wherever they need it. `draft: true` keeps a generator from
    publishing the page by itself.
    """
    import yaml

    reading = notes.reading
    facts = merged(reading.facts, notes.typed_facts)
    keys = [*ORDER[:10], "currency", *ORDER[10:]]
    matter: dict[str, Any] = {"title": title(notes)}
    if day := _day(notes):
        matter["date"] = day
    matter["draft"] = True
    if disclosure:
        matter["disclosure"] = " ".join(u.text for u in disclosure)
    matter["cigar"] = {key: facts[key] for key in keys if key in facts}
    matter["touch_ups"] = _count(reading.touch_ups)
    matter["relights"] = _count(reading.relights)
    matter["spoken_marks"] = [
        {"item": m.item, "value": m.value} | ({"scale": m.scale} if m.scale else {})
        for m in reading.marks
    ]
    definition = sheet.definition
    matter["sheet"] = {"name": definition.name, "file": definition.file, "sum": definition.sum}
    matter["made_by"] = f"Ashdraft {notes.made_by.ashdraft}"
    matter["notes"] = "notes.json"
    matter["recordings"] = [r.file for r in notes.recordings]
    kept = {key: _clean(value) for key, value in matter.items() if value not in (None, {}, [])}
    text = yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=1000)
    return f"---\n{text}---"


def _clean(value: Any) -> Any:
    """Every text on one line, as YAML 1.1 reads some control characters as line breaks; whole
    numbers without a decimal point.
    """
    if isinstance(value, str):
        return one_line(value)
    if isinstance(value, float) and value.is_integer():
        return int(value)
    if isinstance(value, dict):
        return {key: _clean(v) for key, v in value.items()}
    return [_clean(v) for v in value] if isinstance(value, list) else value


def _count(count: Count) -> dict[str, Any] | None:
    """None where nothing was said about it: an absent key is no zero."""
    if not count.total and not count.utterances:
        return None
    return {"total": count.total, "by_third": list(count.by_third)}


def _day(notes: Notes) -> date | None:
    stamps = [r.recorded_at for r in notes.recordings if r.recorded_at]
    match = re.match(r"(\d{4})-(\d\d)-(\d\d)", min(stamps)) if stamps else None
    try:
        return date(*(int(n) for n in match.groups())) if match else None
    except ValueError:
        return None
