"""How ill it is to part two words, at the end of a line or of a cue.

After the Netflix English Timed Text Style Guide, "Line treatment": break after punctuation,
before conjunctions and before prepositions; do not part a noun from its article or adjective,
a verb from its subject pronoun, auxiliary or negation, a preposition from what it governs. A
number with its unit, and a negation with its noun ("no pepper"), are of the same kind.
Adjectives are told by a list of common ones and by their endings, so that no parser is needed.
"""

from __future__ import annotations

import re
from functools import lru_cache

FREE = 0.0
CLAUSE = 1.0
EASY = 2.0
PLAIN = 4.0
HELD = 24.0
"""Costs, in order: after a sentence, after a comma, before a small word, elsewhere, never."""

_SENTENCE_END = re.compile(r"[.?!…][\"'”’)\]]*$")
_CLAUSE_END = re.compile(r"[,;:—–][\"'”’)\]]*$")
_EDGES = re.compile(r"^\W+|\W+$")
_NUMBER = re.compile(r"[$€£]?\d[\d.,/×x:½¼¾⅛⅜⅝⅞-]*%?$")

_ARTICLES = "a an the my your his her its our their this that these those some any each every"
_NEGATIONS = "no not never without nor neither hardly barely scarcely don't didn't doesn't isn't "
_NEGATIONS += "wasn't aren't weren't won't wouldn't can't cannot couldn't haven't hasn't there's"
_SUBJECTS = "i you he she it we they there i'm i've i'd i'll it's that's you're we're they're"
_AUXILIARIES = "is are was were am be been being has have had do does did will would can could"
_AUXILIARIES += " should may might must gets get got"
_DEGREES = "very too so quite rather really pretty fairly just more most less much how such almost"
_PREPOSITIONS = (
    "of in on at to from with by for through into onto over under after before between about "
    "around across against along behind beside near past per than toward towards until till "
    "during like as"
)
_CONJUNCTIONS = "and or but because if when while where which who though although since then that"
_ADJECTIVES = (
    "white black brown red green yellow grey gray dark pale light heavy bright dull warm hot cold "
    "cool dry wet damp raw fresh old new young ripe burnt burned sweet sour bitter sharp soft hard "
    "smooth rough thick thin long short big small large little wide narrow loose tight firm even "
    "uneven clean full medium mild strong weak faint good bad nice fine first second third final "
    "last next same other whole bare plain deep rich round flat straight perfect slight single "
    "double triple wooden golden few many several one two three four five six seven eight nine ten "
    "eleven twelve fifteen twenty thirty forty fifty sixty seventy eighty ninety hundred half"
)
_ENDINGS = ("y", "ish", "ous", "ful", "less", "ive", "ic", "ical", "ed", "able", "ible", "ary")
_NOT_ADJECTIVES = (
    "they only very really already ready any many happy story berry cherry honey coffee toffee "
    "candy brandy whisky whiskey sherry barley parsley rosemary celery curry quality body smoky "
    "today day way say may play stay away key money family company country history memory city "
    "lovely nicely mainly mostly need feed seed bed red speed music finish dish fish polish"
)

_ADJECTIVE = frozenset(_ADJECTIVES.split())
_NOT_ADJECTIVE = frozenset(_NOT_ADJECTIVES.split())
_LEADS = frozenset(
    " ".join(
        (_ARTICLES, _NEGATIONS, _SUBJECTS, _AUXILIARIES, _DEGREES, _PREPOSITIONS, _CONJUNCTIONS)
    ).split()
)
_FOLLOWS = frozenset(f"{_PREPOSITIONS} {_CONJUNCTIONS}".split())


@lru_cache(maxsize=65536)
def border(before: str, after: str) -> float:
    """Return the cost of a break between two neighbouring words, punctuation on them."""
    if _SENTENCE_END.search(before) and not _NUMBER.match(before):
        return FREE
    if _CLAUSE_END.search(before):
        return CLAUSE
    left, right = _bare(before), _bare(after)
    if left in _LEADS or _is_number(left):
        small = right in _FOLLOWS and left not in _LEADS
        return EASY if small else HELD
    if right in _FOLLOWS:
        return EASY
    return HELD if _is_adjective(left) else PLAIN


def _bare(word: str) -> str:
    return _EDGES.sub("", word.replace("’", "'").casefold()) or word.casefold()


def _is_number(word: str) -> bool:
    return bool(_NUMBER.match(word))


def _is_adjective(word: str) -> bool:
    if word.partition("-")[0] in _ADJECTIVE:
        return True
    return len(word) > 4 and word.endswith(_ENDINGS) and word not in _NOT_ADJECTIVE
