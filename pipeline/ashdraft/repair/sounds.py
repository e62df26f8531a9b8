"""How words sound: a dictionary, rules for words it has not, one letter for each sound.

The sounds are the 39 of the CMU Pronouncing Dictionary (ARPAbet without stress) written with
one letter each, so that a pronunciation is a string and a phrase is the strings joined.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import islice, product

import ashdraft_models

from ..errors import DataDamaged
from .english import english

LETTERS = {
    "AA": "a", "AE": "A", "AH": "x", "AO": "o", "AW": "Q", "AY": "Y", "EH": "e", "ER": "R",
    "EY": "E", "IH": "i", "IY": "I", "OW": "O", "OY": "J", "UH": "U", "UW": "u",
    "B": "b", "CH": "c", "D": "d", "DH": "D", "F": "f", "G": "g", "HH": "h", "JH": "j",
    "K": "k", "L": "l", "M": "m", "N": "n", "NG": "N", "P": "p", "R": "r", "S": "s",
    "SH": "S", "T": "t", "TH": "T", "V": "v", "W": "w", "Y": "y", "Z": "z", "ZH": "Z",
}  # fmt: skip
VOWELS = frozenset("aAxoQYeREiIOJUu")
HISSES = frozenset("szSZcj")
VOICELESS = frozenset("pftTksSch")

_RULES = ashdraft_models.ROOT / "repair" / "letters.txt"
_MOST = 4  # pronunciations of one phrase that are looked at


@lru_cache(maxsize=1 << 15)
def pronounced(word: str) -> tuple[str, ...]:
    """The pronunciations of a lower-case word, likeliest first; at least one, "" for none.

    A possessive or contracted `'s` is sounded after its word; figures have no sound.
    """
    known = english().sounds(word)
    if known:
        return known
    if word.endswith("'s"):
        return tuple(s + with_s(s) for s in pronounced(word[:-2]))
    return (_spelt_out(word.replace("'", "")),)


@lru_cache(maxsize=1 << 15)
def phrase(words: tuple[str, ...]) -> tuple[str, ...]:
    """The pronunciations of words said in a row, without gaps; at most four."""
    return tuple(dict.fromkeys("".join(p) for p in islice(product(*map(pronounced, words)), _MOST)))


def arpabet(symbols: Sequence[str]) -> str:
    """ARPAbet symbols, with or without stress digits, as a string of sounds."""
    return "".join(LETTERS[s.rstrip("012")] for s in symbols)


def with_s(sounds: str) -> str:
    """The sounds of the s that follows: of a plural, a possessive, a contraction."""
    if sounds[-1:] in HISSES:
        return "iz"
    return "s" if sounds[-1:] in VOICELESS else "z"


def _spelt_out(word: str) -> str:
    out: list[str] = []
    at = 0
    while at < len(word):
        for letters, before, after, sounds in _rules().get(word[at], ()):
            end = at + len(letters)
            if (
                word.startswith(letters, at)
                and before.search("<" + word[:at])
                and after.match(word[end:] + ">")
            ):
                out.append(sounds)
                at = end
                break
        else:
            at += 1  # a figure or a foreign letter
    return "".join(out)


@cache
def _rules() -> dict[str, list[tuple[str, re.Pattern[str], re.Pattern[str], str]]]:
    rules: dict[str, list[tuple[str, re.Pattern[str], re.Pattern[str], str]]] = {}
    for number, line in enumerate(_RULES.read_text(encoding="utf-8").splitlines(), start=1):
        if line.startswith("#"):
            continue
        parts = line.split(" | ")
        if len(parts) != 4:
            raise DataDamaged(f"{_RULES.name}: line {number} has not four parts.", "Mend the file.")
        before, letters, after, sounds = parts
        before, after = (
            s.replace("V", "[aeiouy]").replace("C", "[b-df-hj-np-tv-xz]") for s in (before, after)
        )
        rules.setdefault(letters[0], []).append(
            (letters, re.compile(f"(?:{before})$"), re.compile(after), sounds.strip("-"))
        )
    return rules
