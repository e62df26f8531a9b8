"""Labelled recordings (docs/labelling.md) as the records that the draft is made from."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml
from ashdraft.model import (
    Chapter,
    Count,
    Descriptor,
    Event,
    MadeBy,
    Mark,
    Notes,
    Reading,
    Recording,
    Timing,
    Utterance,
)
from ashdraft.rules.data import lexicon
from ashdraft.tidy import tidy

FOLDER = Path(__file__).parents[1] / "labelled"
FILES = tuple(sorted(FOLDER.glob("*/*.yaml")))
TIMES = {
    "lit": "lit", "second_third": "second-third", "final_third": "final-third",
    "put_down": "put-down",
}  # fmt: skip


@cache
def reading(name: str) -> Reading:
    """The `Reading` that the labels of one recording spell out, by its id (`d01`)."""
    path = next(f for f in FILES if f.stem == name)
    raw = yaml.safe_load(path.read_text("utf-8"))
    rows: list[dict[str, Any]] = raw["utterances"]
    starts = [float(r["at"]) for r in rows]
    ends = [*starts[1:], starts[-1] + 5.0]
    utterances = tuple(
        Utterance(
            n, s, min(e, s + 0.4 * (1 + len(r["text"].split()))), r["text"], r["text"],
            tidy(r["text"]), r["section"], r.get("third"), "said" if r.get("third") else None, 1.0,
        )
        for n, (r, s, e) in enumerate(zip(rows, starts, ends, strict=True))
    )  # fmt: skip
    families = lexicon()
    descriptors = tuple(
        Descriptor(
            d["term"], families.get(d["term"], "other"), d["polarity"], d["source"],
            d["intensity"], u.section, u.third, u.id, u.start, r["text"],
        )
        for u, r in zip(utterances, rows, strict=True)
        for d in r.get("descriptors") or []
    )  # fmt: skip
    events = tuple(
        Event(kind, u.third, u.id, u.start)
        for u, r in zip(utterances, rows, strict=True)
        for kind in r.get("events") or []
    )
    first = {e.kind: e.start for e in reversed(events)}
    gold = raw["gold"]
    return Reading(
        kind=raw["kind"],
        utterances=utterances,
        descriptors=descriptors,
        events=events,
        touch_ups=_count(gold["touch_ups"], "touch-up", events, utterances),
        relights=_count(gold["relights"], "relight", events, utterances),
        facts=dict(gold["facts"]),
        timing=Timing(**{key: first.get(kind) for key, kind in TIMES.items()}),
        marks=tuple(
            Mark(m["item"], m["value"], None, _last(utterances, m["item"]).id)
            for m in gold["marks"]
        ),
        chapters=tuple(
            Chapter(starts[c["utterance"]], c["section"], c["section"], None)
            for c in gold["chapters"]
        ),
    )


def notes(made: Reading, **others: Any) -> Notes:
    """Notes around a reading, for one recording of an invented name."""
    end = max((u.end for u in made.utterances), default=0.0)
    recording = Recording("porch.m4a", "0" * 64, 0.0, end, "2026-05-02T20:14:00+02:00")
    made_by = MadeBy("0.1.0", "base", "en_core_web_sm", "0" * 16)
    return Notes(made_by, (recording,), made, **others)


def _count(
    row: dict[str, Any], kind: str, events: tuple[Event, ...], utterances: tuple[Utterance, ...]
) -> Count:
    """The labels hold no evidence of a count: its events, else who spoke of it last."""
    first, second, final = row["by_third"]
    told = tuple(e.utterance for e in events if e.kind == kind)
    spoken = any(kind in u.said.lower() for u in utterances)
    return Count(
        row["total"],
        (first, second, final),
        told or ((_last(utterances, kind).id,) if spoken else ()),
    )


def _last(utterances: tuple[Utterance, ...], word: str) -> Utterance:
    """The last utterance with a word in it, else the last of all."""
    found = [u for u in utterances if word in u.said.lower()]
    return (found or list(utterances))[-1]
