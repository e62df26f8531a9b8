"""What the repair looks for: the trade's words, tasting notes, and the reviewer's own."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

import ashdraft_models

from ..errors import DataDamaged
from ..rules.data import lexicon
from ..rules.nlp import plural
from ..rules.numbers import TENS, UNITS
from .english import LN10, english
from .sounds import phrase
from .text import spoken

PATH = ashdraft_models.ROOT / "repair" / "trade.toml"
_RARE = -6.0 * LN10
Group = Literal["trade", "note", "name"]


@dataclass(frozen=True, slots=True)
class Target:
    """Something that may have been said: as written, in words, and how it sounds."""

    written: str
    words: tuple[str, ...]
    sounds: tuple[str, ...]
    group: Group
    noun: bool = False
    """True where a plural, 's and "is" may follow."""

    def forms(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What may be said when an s follows the sounds: as written, and in words."""
        if not self.noun:
            return ()
        many = plural(self.written)
        several = tuple(w.lower for w in spoken(many))
        short = f"{self.words[-1]}'s"
        return (
            (many, several),
            (f"{self.written}'s", (*self.words[:-1], short)),
            (f"{self.written} is", (*self.words, "is")),
        )


@cache
def trade() -> Mapping[str, Any]:
    """The checked content of trade.toml."""
    try:
        raw = tomllib.loads(PATH.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error
    for name in ("kinds", "sounds"):
        for key, value in raw.get(name, {}).items():
            if not isinstance(value, list) or not all(isinstance(v, str) and v for v in value):
                raise DataDamaged(f"{PATH.name}: {key} must be a list of words.", "Mend the file.")
    if not set(raw.get("nouns", ())) <= set(raw.get("kinds", {})):
        raise DataDamaged(f"{PATH.name}: nouns must name kinds.", "Mend the file.")
    return raw


@cache
def kinds() -> dict[str, str]:
    """Single words to the kind that stands for them in counts, plurals and 's apart."""
    found: dict[str, str] = dict.fromkeys((*UNITS[3:], *TENS), "<number>")
    for term in lexicon():
        if " " not in term and "-" not in term:
            found[term] = "<note>"
            found.setdefault(plural(term), "<notes>")
    for kind in trade()["nouns"]:
        for term in trade()["kinds"][kind]:
            if " " not in term and "-" not in term:
                found[term] = f"<{kind}>"
                found[plural(term)] = f"<{kind}s>"
    for word, kind in list(found.items()):
        if kind != "<number>":
            found.setdefault(f"{word}'s", kind[:-1] + "'s>")
    return found


def targets(names: Sequence[str], hints: Mapping[str, Sequence[str]]) -> tuple[Target, ...]:
    """Everything looked for. `names` and `hints` (word to what it sounds like) are the user's."""
    own: dict[str, Target] = {}
    for name in (*hints, *(p for n in names for p in _parts(n))):
        own.setdefault(name, _target(name, "name", hints.get(name, ())))
    return (*own.values(), *(t for t in standard() if t.written not in own))


@cache
def standard() -> tuple[Target, ...]:
    """The targets that ship."""
    found: dict[str, Target] = {}
    for kind, terms in trade()["kinds"].items():
        for term in terms:
            hints = trade()["sounds"].get(term, ())
            found.setdefault(term, _target(term, "trade", hints, noun=kind in trade()["nouns"]))
    for term in lexicon():
        found.setdefault(term, _target(term, "note", (), noun=True))
    return tuple(found.values())


def _parts(name: str) -> Iterator[str]:
    """A typed name whole, and those of its words that are no common English ones."""
    whole = " ".join(name.split())
    yield whole
    yield from (w for w in whole.split() if w != whole and is_own(w.lower()))


def is_own(word: str) -> bool:
    """True for a word so rare in English that hearing it means the name it belongs to."""
    common = english().places.get(word)
    return len(word) > 3 and (common is None or english().alone[common] < _RARE)


def _target(written: str, group: Group, hints: Sequence[str], *, noun: bool = False) -> Target:
    words = tuple(w.lower for w in spoken(written))
    said = [s for hint in hints for s in phrase(tuple(hint.lower().split()))] or phrase(words)
    return Target(written, words, tuple(said), group, noun)
