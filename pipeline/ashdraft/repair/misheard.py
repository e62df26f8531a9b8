"""Mis-hearings known by name: models/ashdraft_models/repair/misheard.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import ashdraft_models

from ..errors import DataDamaged
from .text import Change, Spoken

PATH = ashdraft_models.ROOT / "repair" / "misheard.toml"
REASON = "a known mis-hearing of a trade term"
_SURE = 0.97


@dataclass(frozen=True, slots=True)
class Misheard:
    """`heard` stands for `meant`, where one of the words asked for stands beside or near it."""

    heard: tuple[str, ...]
    meant: str
    before: frozenset[str]
    after: frozenset[str]
    near: frozenset[str]

    def fits(self, words: Sequence[str], at: int) -> bool:
        end = at + len(self.heard)
        if tuple(words[at:end]) != self.heard:
            return False
        if self.before and not (at and words[at - 1] in self.before):
            return False
        if self.after and not (end < len(words) and words[end] in self.after):
            return False
        return not self.near or any(w in self.near for w in (*words[:at], *words[end:]))


def known(words: Sequence[Spoken]) -> Iterator[Change]:
    """The mis-hearings in an utterance, longest first at each place, none overlapping."""
    lower = [w.lower for w in words]
    at = 0
    while at < len(lower):
        found = next((m for m in _by_first().get(lower[at], ()) if m.fits(lower, at)), None)
        if found:
            yield Change(at, at + len(found.heard), found.meant, REASON, _SURE)
        at += len(found.heard) if found else 1


@cache
def _by_first() -> dict[str, tuple[Misheard, ...]]:
    table: dict[str, list[Misheard]] = {}
    for entry in _entries():
        asked = {name: frozenset(_strings(entry, name)) for name in ("before", "after", "near")}
        for phrase in _strings(entry, "heard", needed=True):
            words = tuple(phrase.replace("-", " ").split())
            table.setdefault(words[0], []).append(Misheard(words, entry["meant"], **asked))
    return {k: tuple(sorted(v, key=lambda m: -len(m.heard))) for k, v in table.items()}


def _entries() -> list[dict[str, Any]]:
    try:
        raw = tomllib.loads(PATH.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error
    entries = raw.get("misheard")
    if not isinstance(entries, list) or not all(isinstance(e, dict) for e in entries):
        raise DataDamaged(f"{PATH.name}: [[misheard]] entries are missing.", "Mend the file.")
    for entry in entries:
        if not isinstance(entry.get("meant"), str) or not entry["meant"].strip():
            raise DataDamaged(f"{PATH.name}: an entry has no 'meant'.", "Mend the file.")
    return entries


def _strings(entry: dict[str, Any], name: str, *, needed: bool = False) -> list[str]:
    value = entry.get(name, [])
    if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
        raise DataDamaged(
            f"{PATH.name}: {name} of {entry['meant']!r} must be a list of words.", "Mend the file."
        )
    if needed and not value:
        raise DataDamaged(f"{PATH.name}: {entry['meant']!r} has no 'heard'.", "Mend the file.")
    return value
