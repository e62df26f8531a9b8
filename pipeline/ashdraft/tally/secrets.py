"""What a blind draft withholds: name, maker, price, and the sentences that could tell them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from ..assemble.placing import place
from ..facts import merged
from ..model import Notes, Utterance
from ..repair.vocabulary import kinds
from ..rules.data import lexicon
from ..sheet.topics import mentioned, topics

COMMON = -4.0
"""Log10 probability from which a word is too common to give a name away by itself."""
SHORTEST = 3
PRICED = ("price", "box_price_each", "currency")
NAMED = ("name", "maker")
WITHHELD = (*NAMED, *PRICED)
"""The facts that a blind draft withholds."""
_MONEY = re.compile(r"[$€£¥₹₽₩₺₫₱¢]\s?\d|\d\s?[$€£¥₹₽₩₺₫₱¢]|\b[A-Z]{3} \d+(?:\.\d\d)\b")
_PRICE = re.compile(
    r"\b(?:price[sd]?|pricey|costs?|pay|paid|money|cheap|cheaper|expensive|overpriced|bargain)\b",
    re.IGNORECASE,
)
"""Words of the price in any section; those of the topics `value` and `paid` count in theirs."""
_CENTS = frozenset("cent cents pence".split())
_LONG_ENOUGH = 8
FEWEST = 3
"""Blanks in a piece of a sentence that is long enough to be known as one."""


@dataclass(frozen=True, slots=True)
class Secrets:
    """`names` are phrases in plain words; `sentences` those of the `utterances` withheld."""

    names: frozenset[str]
    utterances: frozenset[int]
    sentences: tuple[str, ...]

    def in_text(self, text: str) -> bool:
        """True where a name or an amount of money stands in a text."""
        return bool(_MONEY.search(text)) or _has_name(text, self.names)

    def in_sentence(self, text: str) -> bool:
        """True for a line with one of the sentences withheld in it, whole or in part."""
        here = plain_words(text)
        return self.in_text(text) or any(_overlap(here, sentence) for sentence in self.sentences)


def secrets(notes: Notes) -> Secrets:
    """Return what to withhold.

    Names are those that were typed, by each uncommon word of them as well, and the unknown
    words with a capital in what was said of the facts. What was said of the facts is withheld,
    and elsewhere each sentence with a name, a sum of money or a word on the price; a sentence
    on how the cigar was obtained only if it holds one of these.
    """
    facts = merged(notes.reading.facts, notes.typed_facts)
    names = {plain_words(str(facts[key])) for key in NAMED if key in facts}
    names |= {word for name in names for word in name.split() if _tells(word)}
    told = [u for u in notes.reading.utterances if u.section == "setup"]
    names |= {word for u in told for word in _capitals(u) if _unknown(word)}
    found = frozenset(name for name in names if name)
    evidence = {u for key in PRICED for u in notes.reading.fact_evidence.get(key, ())}
    open_ones = {u.id for u in place(notes.reading).disclosing}
    kept = [
        u
        for u in notes.reading.utterances
        if u.id in evidence
        or (u.section == "setup" and u.id not in open_ones)
        or _gives_away(u, found)
    ]
    sentences = tuple(s for u in kept if len(s := plain_words(u.text)) >= _LONG_ENOUGH)
    return Secrets(found, frozenset(u.id for u in kept), sentences)


def plain_words(text: str) -> str:
    """Return the words of a text: lower case, without accents, signs and possessives."""
    decomposed = unicodedata.normalize("NFKD", text).casefold()
    letters = "".join(c for c in decomposed if not unicodedata.combining(c))
    return " ".join(re.findall(r"\w+", re.sub(r"['’]s\b", "", letters)))


def _has_name(text: str, names: Iterable[str]) -> bool:
    here = f" {plain_words(text).replace('_', ' ')} "
    return any(f" {name} " in here or f" {name}s " in here for name in names)


def _gives_away(utterance: Utterance, names: Iterable[str]) -> bool:
    known = topics()
    of_price = any(
        utterance.section in known[name].sections and mentioned(known[name], utterance) == "said"
        for name in ("value", "paid")
    )
    texts = (utterance.said, utterance.text, utterance.heard)
    return of_price or any(_PRICE.search(t) or _money(t) or _has_name(t, names) for t in texts)


def _money(text: str) -> bool:
    """True where an amount of any currency is named."""
    from ..rules.facts.currency import family

    words = plain_words(text).split()
    numbered = any(c.isdigit() for c in text) or len(words) > 1
    return bool(_MONEY.search(text)) or (
        numbered and any(family(w) is not None or w in _CENTS for w in words)
    )


def _capitals(utterance: Utterance) -> list[str]:
    found = re.findall(r"[^\W\d_][\w'’]+", utterance.text)
    return [plain_words(word) for word in found if word[0].isupper()]


def _unknown(word: str) -> bool:
    """True for a word that is no English and no term of the trade: likely a name."""
    from ..repair.english import english

    return (
        len(word) >= SHORTEST
        and word.isalpha()
        and word not in english().places
        and word not in _terms()
    )


def _tells(word: str) -> bool:
    """True for a word that gives a name away by itself."""
    from ..repair.english import LN10, english

    if len(word) < SHORTEST or word.isdigit() or word in _terms():
        return False
    place = english().places.get(word)
    return place is None or english().alone[place] < COMMON * LN10


@cache
def _terms() -> frozenset[str]:
    """The words of notes and of the trade; none is withheld because a name holds it."""
    terms = [*lexicon(), *kinds()]
    return frozenset(word for term in terms for word in plain_words(term).split())


def _overlap(line: str, sentence: str) -> bool:
    """True where a line holds a sentence, or is a piece of one, as a cut quotation is."""
    return sentence in line or (line.count(" ") >= FEWEST and line in sentence)
