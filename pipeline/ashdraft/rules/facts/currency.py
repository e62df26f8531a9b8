"""Which money a speaker means, as an ISO 4217 code."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from .. import data
from ..ground import Ground
from ..phrases import any_of, normal, pattern

PREFIX = "facts.money."
DEFAULT = {
    "dollar": "USD", "pound": "GBP", "euro": "EUR", "franc": "CHF", "rand": "ZAR",
    "rupee": "INR", "real": "BRL", "yen": "JPY", "yuan": "CNY", "won": "KRW", "baht": "THB",
    "ringgit": "MYR", "rupiah": "IDR", "dong": "VND", "zloty": "PLN", "forint": "HUF",
    "lei": "RON", "leva": "BGN", "hryvnia": "UAH", "rouble": "RUB", "lira": "TRY",
    "shekel": "ILS", "naira": "NGN", "cedi": "GHS", "lempira": "HNL", "cordoba": "NIO",
    "quetzal": "GTQ", "colon": "CRC", "sol": "PEN", "taka": "BDT",
}  # fmt: skip
"""What a currency's plain name means where no country is said. Crowns, pesos, dinars, dirhams,
riyals and shillings have no default: many countries use them."""

LARGE = frozenset(
    "crown rupee peso rand yen won baht rupiah dong forint rouble naira lira colon taka cedi "
    "shilling hryvnia".split()
)
"""Currencies in which a cigar costs hundreds: "one sixty-five" is 165."""

LARGE_CODES = frozenset(("HKD", "TWD", "JMD", "TTD"))


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency's family and its ISO code (None where the country was not said)."""

    family: str
    code: str | None


@cache
def _families() -> dict[str, str]:
    """Every noun of money to its family."""
    return {
        normal(phrase): cue.removeprefix(PREFIX)
        for cue, phrases in data.cues().items()
        if cue.startswith(PREFIX) and (name := cue.removeprefix(PREFIX)) in _names()
        for phrase in phrases
        if name
    }


@cache
def _names() -> frozenset[str]:
    return frozenset(
        cue.split(".")[2] for cue in data.cues() if cue.startswith(PREFIX) and cue.count(".") == 3
    )


@cache
def nouns() -> str:
    """A pattern part that matches any noun of money."""
    return any_of(*(PREFIX + name for name in sorted(_names())))


@cache
def nations() -> str:
    """A pattern part that matches any word that settles a currency."""
    return any_of(*(cue for cue in data.cues() if cue.startswith(PREFIX) and cue.count(".") == 3))


@cache
def _codes(family: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    start = f"{PREFIX}{family}."
    return tuple(
        (cue.removeprefix(start), pattern("{" + cue + "}"))
        for cue in data.cues()
        if cue.startswith(start)
    )


def family(noun: str) -> str | None:
    """The family of a noun of money ("bucks" -> dollar)."""
    return _families().get(noun)


def currency(ground: Ground, name: str, first: int, end: int) -> Currency:
    """The currency of family `name` said in words `first` to `end`.

    A country said beside it decides; a family without a default looks through the recording.
    """
    row = ground.row
    line = row.words[first].line
    ahead = min(end + 5, len(row.words))
    for around in ((first, ahead), (max(first - 4, 0), first)):
        for code, words in _codes(name):
            if any(True for _ in row.find(words, *around)):
                return Currency(name, code)
    apart = _set_apart(ground, name, end)
    if apart:
        return Currency(name, apart)
    if name in DEFAULT:
        return Currency(name, DEFAULT[name])
    reach = row.firsts[max(line - 8, 0)], row.firsts[min(line + 9, len(row.lines))]
    for around in (reach, (0, len(row.words))):
        said = {code for code, words in _codes(name) if any(True for _ in row.find(words, *around))}
        if len(said) == 1:
            return Currency(name, said.pop())
    return Currency(name, None)


def _set_apart(ground: Ground, name: str, end: int) -> str | None:
    """`Eighteen dollars fifty at the shop, Canadian, taxes in`: the country said by itself."""
    row = ground.row
    stop = row.sentence(end - 1, 16)[1]
    goes_on = ("taxes", "tax", "money", "of", "in", "not", "with", "before", "plus", "and", "so")
    for code, words in _codes(name):
        for first, last, match in row.find(words, end, stop):
            adjective = match[0].endswith(("an", "ian", "ie", "ish"))
            alone = (
                last == len(row.words) or row.words[last].gap or row.said(last, last + 1) in goes_on
            )
            taxed = row.said(last, last + 1) in goes_on
            if adjective and alone and (row.words[first].gap or first == end or taxed):
                return code
    return None


def nation(ground: Ground, first: int, end: int) -> Currency | None:
    """A currency named by its country alone: `three thirty Canadian`."""
    for name in ("dollar", "pound", "crown", "franc", "rupee", "peso"):
        for code, words in _codes(name):
            if any(a == first for a, _, _ in ground.row.find(words, first, end)):
                return Currency(name, code)
    return None
