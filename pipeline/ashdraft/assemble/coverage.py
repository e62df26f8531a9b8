"""Under each heading: what was said, what was said not to be there, what was not mentioned."""

from __future__ import annotations

from collections.abc import Sequence

from ..model import Reading
from ..sheet.notes import IN_THE_SMOKE, absent, in_third
from ..sheet.topics import Status, Topic, spoken, topics
from .markdown import added, escape

HEADINGS: dict[str, tuple[str, ...]] = {
    "appearance": (
        "wrapper-colour", "sheen", "veins", "seams", "cap", "firmness", "soft-spots",
    ),
    "pre-light": ("wrapper-aroma", "foot-aroma", "cut", "cold-draw"),
    "third": ("flavour", "nose", "finish", "mouthfeel", "body-strength"),
    "whole": ("body-strength", "balance", "room"),
    "burn": ("burn-line", "draw", "smoke", "ash", "heat", "going-out"),
    "presentation": ("band", "box", "value", "occasion"),
    "verdict": ("who-for", "again"),
}  # fmt: skip
"""The topics of each heading (models/ashdraft_models/sheets/topics.toml)."""

_WORDS: dict[Status, str] = {
    "said": "Said", "absent": "Said not to be there", "silent": "Not mentioned",
}  # fmt: skip


def status_line(heading: str, reading: Reading, third: int | None = None) -> str:
    """Return the line that tells of each topic of a heading which of the three it was."""
    found: dict[Status, list[str]] = {"said": [], "absent": [], "silent": []}
    for topic in _topics(heading):
        found[spoken(topic, reading, third).status].append(topic.name)
    if heading == "pre-light":
        notes = [d for d in reading.descriptors if d.section == "pre-light"]
        found["absent"] += absent(notes)
    if heading == "third" and third:
        found["absent"] += absent(in_third(reading, third, IN_THE_SMOKE))
    return _line(found)


def _line(found: dict[Status, list[str]]) -> str:
    """Return one status line; a status without a topic is left out."""
    parts = [
        f"{_WORDS[status]}: {', '.join(escape(name) for name in dict.fromkeys(names))}."
        for status, names in found.items()
        if names
    ]
    return added(" ".join(parts))


def plain_status(anything: Sequence[object]) -> str:
    """Return the status line of a heading that has no topics of its own."""
    return added("Said." if anything else "Not mentioned.")


def unmentioned(reading: Reading) -> list[tuple[str, list[str]]]:
    """Return what was never mentioned: for each third, then for the rest, the topics' names."""
    rows: list[tuple[str, list[str]]] = []
    asked = [t for t in topics().values() if t.thirds]
    for third, name in enumerate(("First third", "Second third", "Final third"), start=1):
        silent = [t.name for t in asked if spoken(t, reading, third).status == "silent"]
        rows.append((name, silent))
    once = [t for t in topics().values() if not t.thirds and t.id not in _ELSEWHERE]
    rows.append(("Anywhere", [t.name for t in once if spoken(t, reading).status == "silent"]))
    return [(name, silent) for name, silent in rows if silent]


_ELSEWHERE = ("disclosure", "paid")
"""Told of under their own heading."""


def _topics(heading: str) -> list[Topic]:
    known = topics()
    return [known[name] for name in HEADINGS[heading]]
