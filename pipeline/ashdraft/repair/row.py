"""An utterance as it is weighed: words, how sure the recogniser was, what is written large."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from ..model import Heard
from .text import Spoken, places, spoken
from .weigh import UNSTATED, Row

_ENDS = frozenset(".!?…")


def sureness(heard: Heard, words: Sequence[Spoken]) -> list[float]:
    """A probability (0 to 1) for each word; the least of them where parts are joined.

    Transcripts without word times, or whose timed words are not those of the text, have none:
    then it is UNSTATED for every word.
    """
    found = places(heard.words, heard.text)
    if not found:
        return [UNSTATED] * len(words)
    return [
        min(
            (
                timed.probability
                for timed, (start, stop) in zip(heard.words, found, strict=True)
                if start < word.stop and stop > word.start
            ),
            default=UNSTATED,
        )
        for word in words
    ]


def weighed(heard: Heard, words: Sequence[Spoken], session: Mapping[str, int]) -> Row:
    """The row of an utterance; `words` are those of its text."""
    return Row(
        tuple(w.lower for w in words),
        sureness(heard, words),
        tuple(_name_like(heard.text, w) for w in words),
        session,
    )


def said_in(texts: Iterable[str]) -> Counter[str]:
    """How often each word was heard in a recording."""
    return Counter(w.lower for text in texts for w in spoken(text))


def _name_like(text: str, word: Spoken) -> bool:
    before = text[: word.start].rstrip(" \"'“‘-")
    return text[word.start].isupper() and bool(before) and before[-1] not in _ENDS
