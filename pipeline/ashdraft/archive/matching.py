"""How what a user types is matched: words, names, ranges and days."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from ..errors import UsageError

WORD = re.compile(r"[^\W_]+")
PART = re.compile(r'"([^"]*)"?|([^\s"]+)')
RANGE = re.compile(r"\s*(-?\d+(?:\.\d+)?)?\s*(\.\.)?\s*(-?\d+(?:\.\d+)?)?\s*([A-Za-z]{3})?\s*")


@dataclass(frozen=True, slots=True)
class Range:
    """Numbers from `lowest` to `highest`, both included; `currency` where one was named."""

    lowest: float = -math.inf
    highest: float = math.inf
    currency: str | None = None


def full_text(query: str) -> str:
    """Return the FTS5 query for what a user typed; no query of theirs is a mistake of syntax.

    All words must occur in one sentence; words in quotation marks occur together; a word that
    ends in `*` is the beginning of one. Each part is an FTS5 string, in which nothing else has
    a meaning (https://www.sqlite.org/fts5.html, 3.1). Raises `UsageError` without any word.
    """
    found = []
    for phrase, word in PART.findall(query):
        text = " ".join(_tokens(phrase or word))
        if text:
            found.append(f'"{text}"{"*" if word.endswith("*") else ""}')
    if not found:
        raise UsageError(
            "There is no word to search for.",
            "Type words of a sentence, such as: ashdraft archive find --text 'white pepper'",
        )
    return " AND ".join(found)


def _tokens(text: str) -> list[str]:
    """Letters, digits and their accents, as FTS5's unicode61 takes them; it folds their case."""
    parts = "".join(c if unicodedata.category(c)[0] in "LNM" else " " for c in text).split()
    return [part for part in parts if any(c.isalnum() for c in part)]


@lru_cache(maxsize=100_000)
def words_of(text: str) -> frozenset[str]:
    """Return a text's words without case and accents."""
    return frozenset(WORD.findall(_folded(text)))


@lru_cache(maxsize=100_000)
def name_key(text: str) -> str:
    """Return what two spellings of one name share: letters and digits, without case, accents
    and spaces: `Lantern No. 3` and `lantern no3`."""
    return "".join(WORD.findall(_folded(text)))


def matcher(query: str) -> Callable[[str | None], bool]:
    """Return whether a text holds every word of `query`; `*` ends the beginning of a word."""
    whole, begun = set(), []
    for part in _folded(query).split():
        *words, last = WORD.findall(part) or [""]
        whole.update(words)
        if last and part.endswith("*"):
            begun.append(last)
        elif last:
            whole.add(last)
    if not whole and not begun:
        raise UsageError(f"{query!r} holds no word.", "See: ashdraft archive find --help")

    def matches(text: str | None) -> bool:
        words = words_of(text or "")
        return whole <= words and all(any(w.startswith(b) for w in words) for b in begun)

    return matches


def parse_range(text: str, what: str, *, money: bool = False) -> Range:
    """Return the range that `7`, `7..9`, `7..` or `..9` means; `money` may end in its currency.

    Raises `UsageError`, which names `what`, for anything else.
    """
    match = RANGE.fullmatch(text)
    first, dots, last, currency = match.groups() if match else (None, None, None, None)
    broken = (first is None and last is None) or (last is not None and not dots)
    if broken or (currency and not money):
        raise UsageError(f"{what} {text!r} is no number and no range.", "Type 7, 7..9, 7.. or ..9")
    lowest = float(first) if first is not None else -math.inf
    highest = (float(last) if last is not None else math.inf) if dots else lowest
    if lowest > highest:
        raise UsageError(f"{what} {text!r} ends below its start.", "Type the lower number first.")
    return Range(lowest, highest, currency.upper() if currency else None)


def parse_day(text: str, what: str) -> str:
    """Return a day, month or year as it was typed, `2026-05-02`, `2026-05` or `2026`."""
    padded = text + "0000-01-01"[len(text) :]
    try:
        if re.fullmatch(r"\d{4}(-\d\d){0,2}", text):
            date.fromisoformat(padded)
            return text
    except ValueError:
        pass
    raise UsageError(f"{what} {text!r} is no date.", "Type 2026, 2026-05 or 2026-05-02.")


def _folded(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(c for c in apart if not unicodedata.combining(c))
