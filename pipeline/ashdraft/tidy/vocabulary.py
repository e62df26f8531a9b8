"""The word lists of models/ashdraft_models/tidy/words.toml, read once and checked."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import ashdraft_models

from ..errors import DataDamaged

PATH = ashdraft_models.ROOT / "tidy" / "words.toml"

Phrase = tuple[str, ...]
Phrases = Mapping[str, tuple[Phrase, ...]]
"""Phrases by their first word, longest first."""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The lists by their names in the file; a phrase is a tuple of lower-case words."""

    hesitations: frozenset[str]
    paused: Phrases
    searching: frozenset[Phrase]
    paused_first: frozenset[Phrase]
    paused_last: frozenset[Phrase]
    paused_tightly: frozenset[Phrase]
    openers: Phrases
    openers_unpaused: frozenset[Phrase]
    strong: Phrases
    weak: Phrases
    weaker: Phrases
    """The weak and the numbers-only withdrawals."""
    explaining: Phrases
    copulas: Phrases
    leaning: frozenset[str]
    unfinished: frozenset[str]
    continuing: frozenset[str]
    ends_after_subject: frozenset[str]
    unfinished_after_joint: frozenset[str]
    joints: frozenset[str]
    outside_names: frozenset[str]
    determiners: frozenset[str]
    places: frozenset[str]
    not_names: frozenset[str]
    answers: frozenset[str]
    stammered: frozenset[str]
    stammered_paused: frozenset[str]
    subjects: frozenset[str]
    verbs: frozenset[str]
    before_subjects: frozenset[str]
    objects: frozenset[str]
    before_know: frozenset[str]
    after_know: frozenset[str]
    units: frozenset[str]
    number_leads: frozenset[str]
    capitals: dict[Phrase, Phrase]
    """Lower-case words to the words as they are written."""


@cache
def vocabulary() -> Vocabulary:
    """Return the lists. Raises `DataDamaged`, which names the list that is wrong."""
    try:
        raw = tomllib.loads(PATH.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error
    flat = {**raw, **raw.get("withdrawing", {}), **raw.get("grammar", {})}

    def words(name: str) -> frozenset[str]:
        return frozenset(_strings(flat, name))

    def phrases(*names: str) -> Phrases:
        rows = {tuple(p.split()) for name in names for p in _strings(flat, name)}
        found: dict[str, tuple[Phrase, ...]] = {}
        for row in sorted(rows, key=lambda p: (-len(p), p)):
            found[row[0]] = (*found.get(row[0], ()), row)
        return found

    def sets(name: str) -> frozenset[Phrase]:
        return frozenset(tuple(p.split()) for p in _strings(flat, name))

    return Vocabulary(
        hesitations=words("hesitations"),
        paused=phrases("paused"),
        searching=sets("searching"),
        paused_first=sets("paused_first"),
        paused_last=sets("paused_last"),
        paused_tightly=sets("paused_tightly"),
        openers=phrases("openers"),
        openers_unpaused=sets("openers_unpaused"),
        strong=phrases("strong"),
        weak=phrases("weak"),
        weaker=phrases("weak", "numbers_only"),
        explaining=phrases("explaining"),
        copulas=phrases("copulas"),
        leaning=words("leaning"),
        unfinished=words("unfinished"),
        continuing=words("continuing"),
        ends_after_subject=words("ends_after_subject"),
        unfinished_after_joint=words("unfinished_after_joint"),
        joints=words("joints"),
        outside_names=words("outside_names"),
        determiners=words("determiners"),
        places=words("places"),
        not_names=words("not_names"),
        answers=words("answers"),
        stammered=words("stammered"),
        stammered_paused=words("stammered_paused"),
        subjects=words("subjects"),
        verbs=words("verbs"),
        before_subjects=words("before_subjects"),
        objects=words("objects"),
        before_know=words("before_know"),
        after_know=words("after_know"),
        units=words("units"),
        number_leads=words("number_leads"),
        capitals={
            tuple(n.lower().split()): tuple(n.split())
            for n in _strings(raw.get("capitals", {}), "names")
        },
    )


def _strings(table: dict[str, Any], name: str) -> list[str]:
    value = table.get(name)
    if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
        raise DataDamaged(f"{PATH.name}: {name} must be a list of words.", "Mend the file.")
    return value
