"""The word times of sentences after changes: words that stayed keep theirs, new ones share."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from difflib import SequenceMatcher

from ..model import Said, Utterance, Word


class Words:
    """The words of a reading, in time order, for the sentences that came of it."""

    def __init__(self, before: Sequence[Said]) -> None:
        """Take the sentences of the reading, with their word times."""
        self._words = [word for said in before for word in said.words]
        self._starts = [word.start for word in self._words]
        self._known = {(s.start, s.said): s.words for s in before}

    def timed(self, utterances: Sequence[Utterance]) -> tuple[Said, ...]:
        """Return `utterances` with their word times."""
        return tuple(
            Said(u.id, u.start, u.end, u.heard, u.said, u.text, self.of(u)) for u in utterances
        )

    def of(self, utterance: Utterance) -> tuple[Word, ...]:
        """Return the words of a sentence; none where the reading has none in its span."""
        known = self._known.get((utterance.start, utterance.said))
        return self._fitted(utterance) if known is None else known

    def _fitted(self, utterance: Utterance) -> tuple[Word, ...]:
        first = bisect_left(self._starts, utterance.start - 0.01)
        stop = bisect_left(self._starts, utterance.end - 0.005)
        spoken = self._words[first:stop]
        now = utterance.said.split()
        if not spoken or not now:
            return ()
        then = [word.text.strip() for word in spoken]
        made: list[Word] = []
        for kind, a, b, c, d in SequenceMatcher(None, then, now, autojunk=False).get_opcodes():
            if kind == "equal":
                made += spoken[a:b]
            elif d > c:
                begin = spoken[a].start if a < len(spoken) else spoken[-1].end
                end = spoken[b - 1].end if b > a else begin
                made += _shared(now[c:d], begin, end)
        return tuple(made)


def _shared(texts: Sequence[str], begin: float, end: float) -> list[Word]:
    """Share a span among words by their length."""
    total = sum(map(len, texts))
    found, done = [], 0
    for text in texts:
        start = begin + (end - begin) * done / total
        done += len(text)
        found.append(Word(text, start, begin + (end - begin) * done / total))
    return found
