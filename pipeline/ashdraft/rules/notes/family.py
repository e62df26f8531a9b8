"""The family of a note; a best guess where its words are not in the lexicon."""

from __future__ import annotations

from .. import data
from . import nouns
from .spans import Span
from .stream import Stream

OTHER = "other"
_BY_KIND = {
    "n": "leather-and-animal",
    "p": "herb",
    "s": "mineral",
    "o": "mineral",
    "a": "household",
}


def family(span: Span, stream: Stream) -> str:
    """The family of the term, of one of its words, or of the kind of thing it names."""
    if span.family:
        return span.family
    known = data.lexicon()
    for word in reversed(stream.low[span.first : span.end]):
        for form in nouns.singulars(word):
            if form in known:
                return known[form]
    return _BY_KIND.get(nouns.kind(stream.low[span.head])[:1], OTHER)
