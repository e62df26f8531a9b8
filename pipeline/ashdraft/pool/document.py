"""`pooled.json`: every pooled figure with the sticks it comes from (docs/pool.md)."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from importlib.resources import files
from typing import Any

from .. import __version__
from ..model import Count
from .figures import Rate, Summary
from .marks import PooledSheet
from .measures import Measured, Measures
from .opposites import Contradiction
from .pooled import Group, Pool
from .sticks import Stick
from .taste import Shared, Taste

FORMAT, VERSION = "ashdraft-pooled", 1
SCHEMA_FILE = "pooled.schema.json"
DIGITS = 6
"""Decimals of a reckoned figure; times keep three."""


def pooled_json(pool: Pool) -> str:
    """Return the text of `pooled.json`, checked against its schema.

    The same sessions in the same order give the same text.
    """
    from jsonschema import Draft202012Validator

    document = _document(pool)
    Draft202012Validator(schema()).validate(document)
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def schema() -> Mapping[str, Any]:
    """Return the JSON Schema (draft 2020-12) that ships with the package."""
    loaded: Mapping[str, Any] = json.loads(
        files(__package__).joinpath(SCHEMA_FILE).read_text("utf-8")
    )
    return loaded


def _document(pool: Pool) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "version": VERSION,
        "made_by": __version__,
        "name": pool.name,
        "sticks": [_stick(stick) for stick in pool.sticks],
        "stored_differently": pool.stored_differently,
        "groups": [_group(group) for group in pool.groups],
        "checks": [check.message for check in pool.checks],
    }


def _stick(stick: Stick) -> dict[str, Any]:
    recordings = [{"file": r.file, "sha256": r.sha256} for r in stick.notes.recordings]
    return {
        "stick": stick.number,
        "session": stick.source,
        "day": stick.day,
        "reviewer": stick.reviewer,
        "recordings": recordings,
        "facts": dict(sorted(stick.facts.items())),
    }


def _group(group: Group) -> dict[str, Any]:
    size = group.of.size
    return {
        "size": {
            "length_in": size.length_in, "ring_gauge": size.ring_gauge, "format": size.format,
        },
        "sticks": [stick.number for stick in group.sticks],
        "size_assumed": list(group.of.assumed),
        "measures": _measures(group.measures),
        "notes": [_note(note) for note in group.taste.notes],
        "denied": [_note(note) for note in group.taste.denied],
        "families_by_third": {f: list(row) for f, row in group.taste.families_by_third().items()},
        "changes": _changes(group.taste),
        "contradictions": [_contradiction(c) for c in group.contradictions],
        "sheets": [_sheet(sheet) for sheet in group.sheets],
    }  # fmt: skip


def _measures(found: Measures) -> dict[str, Any]:
    return {
        "sticks": [_measured(row) for row in found.sticks],
        "touched_up": _rate(found.touched_up),
        "relit": _rate(found.relit),
        "touch_ups": _summary(found.touch_ups),
        "relights": _summary(found.relights),
        "minutes": _summary(found.minutes),
        "minutes_by_third": [_summary(row) for row in found.minutes_by_third],
        "pace_mm_per_min": _summary(found.pace),
    }


def _measured(row: Measured) -> dict[str, Any]:
    return {
        "stick": row.stick,
        "touch_ups": _count(row.touch_ups),
        "relights": _count(row.relights),
        "minutes": _figure(row.minutes),
        "minutes_basis": row.basis,
        "minutes_by_third": _figures(row.thirds),
        "pace_mm_per_min": _figure(row.pace),
        "pace_by_third": _figures(row.pace_by_third),
        "price": row.price,
        "box_price_each": row.box_price_each,
        "currency": row.currency,
        "box_saving": _figure(row.box_saving),
        "price_per_hour": _figure(row.price_per_hour),
    }


def _note(note: Shared) -> dict[str, Any]:
    spots = [
        {
            "stick": s.stick, "place": s.place, "utterance": s.utterance,
            "start": round(s.start, 3), "term": s.term, "quote": s.quote,
        }
        for s in note.spots
    ]  # fmt: skip
    return {
        "term": note.term,
        "family": note.family,
        "terms": list(note.terms),
        "sticks": list(note.sticks),
        "of": note.of,
        "by_third": [list(note.at(third)) for third in (1, 2, 3)],
        "spots": spots,
    }


def _changes(taste: Taste) -> list[dict[str, Any]]:
    return [
        {
            "term": row.term,
            "came": list(row.came),
            "held": list(row.held),
            "gone": list(row.gone),
            "left": list(row.left),
            "of": row.of,
        }
        for row in taste.changes
    ]


def _contradiction(found: Contradiction) -> dict[str, Any]:
    sides = [
        {
            "side": name,
            "remarks": [
                {
                    "stick": r.stick, "place": r.place, "utterance": r.utterance,
                    "start": round(r.start, 3), "quote": r.quote,
                }
                for r in remarks
            ],
        }
        for name, remarks in found.sides
    ]  # fmt: skip
    return {"id": found.id, "about": found.about, "sides": sides}


def _sheet(sheet: PooledSheet) -> dict[str, Any]:
    rows = [
        {
            "id": c.id,
            "section": c.section,
            "name": c.name,
            "weight": c.weight,
            "marks": _by_stick(c.marks),
            "blank": list(c.blank),
            "comments": {str(stick): text for stick, text in sorted(c.comments.items())},
            "summary": _summary(c.summary),
        }
        for c in sheet.criteria
    ]
    agreement = sheet.agreement and {
        "krippendorff_alpha_ordinal": _figure(sheet.agreement.alpha),
        "reviewers": list(sheet.agreement.reviewers),
        "criteria": sheet.agreement.criteria,
    }
    return {
        "name": sheet.name,
        "sticks": list(sheet.sticks),
        "criteria": rows,
        "sections": {name: _summary(row) for name, row in sheet.sections.items()},
        "total": _summary(sheet.total),
        "agreement": agreement,
    }


def _summary(found: Summary | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "n": found.n,
        "values": _by_stick(found.values),
        "median": _figure(found.median),
        "mean": _figure(found.mean),
        "lowest": _figure(found.lowest),
        "highest": _figure(found.highest),
        "standard_deviation": _figure(found.spread),
    }


def _rate(found: Rate | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "k": found.k,
        "n": found.n,
        "wilson_95": [_figure(found.low), _figure(found.high)],
        "sticks": list(found.sticks),
        "not_mentioned": list(found.silent),
    }


def _count(count: Count | None) -> dict[str, Any] | None:
    return None if count is None else {"total": count.total, "by_third": list(count.by_third)}


def _by_stick(values: Mapping[int, float | None]) -> dict[str, float | None]:
    return {str(stick): _figure(value) for stick, value in sorted(values.items())}


def _figures(values: Iterable[float | None]) -> list[float | None]:
    return [_figure(value) for value in values]


def _figure(value: float | None) -> float | None:
    return None if value is None else round(value, DIGITS) + 0.0
