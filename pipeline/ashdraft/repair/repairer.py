"""One recording's repair: known mis-hearings first, then what sounds like a term."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..model import Heard, Repair, Said
from ..tidy import tidy
from .candidates import Search
from .language import Language, language
from .misheard import known
from .row import said_in, weighed
from .text import Change, Spoken, replaced, retimed, spoken
from .vocabulary import targets
from .weigh import Choice, choices

APPLIED = 0.35
"""A repair at least this certain is made; below it the recogniser is believed."""
TOLD = 0.2
"""One at least this certain is suggested for the reviewer to listen to."""
HELD = 0.1
"""One at least this certain is made where the same was put right elsewhere in the session."""
REASONS = {
    "trade": "sounds like a trade term",
    "note": "sounds like a tasting note",
    "name": "sounds like a name you gave",
}


class Repairer:
    """Repairs utterances of one session. Raises DataDamaged when its data cannot be read."""

    def __init__(
        self,
        names: Sequence[str] = (),
        terms: Mapping[str, Sequence[str]] | None = None,
        speech: Language | None = None,
    ) -> None:
        self._language = speech or language()
        self._search = Search(targets(names, terms or {}), self._language)

    def repair(self, utterances: Sequence[Heard]) -> tuple[tuple[Said, ...], tuple[Repair, ...]]:
        """All utterances of the session, in order, and everything done or suggested.

        Done twice: what the first round put right counts as said in the second.
        """
        rows = [(u, spoken(u.text)) for u in utterances]
        first = self._round(rows, said_in(u.text for u in utterances), {})
        said = said_in(
            replaced(u.text, words, _made(found))
            for (u, words), found in zip(rows, first, strict=True)
        )
        settled = {
            (_heard(u.text, words, c), c.meant): c.confidence
            for (u, words), found in zip(rows, first, strict=True)
            for c in _made(found)
        }
        second = self._round(rows, said, settled)
        done = [
            self._told(n, u, words, found)
            for n, ((u, words), found) in enumerate(zip(rows, second, strict=True))
        ]
        return tuple(s for s, _ in done), tuple(r for _, told in done for r in told)

    def _round(
        self,
        rows: Sequence[tuple[Heard, Sequence[Spoken]]],
        session: Mapping[str, int],
        settled: Mapping[tuple[str, str], float],
    ) -> list[tuple[Change, ...]]:
        """What may have been said in each utterance; `settled` pairs hold wherever plausible."""
        found: list[tuple[Change, ...]] = []
        for heard, words in rows:
            sure_of = tuple(known(words))
            taken = {i for change in sure_of for i in range(change.first, change.end)}
            open_ones = [
                c
                for c in self._search.candidates([w.lower for w in words])
                if not taken & set(range(c.first, c.end))
            ]
            changes = [*sure_of]
            if open_ones:
                row = weighed(heard, words, session)
                for choice in choices(open_ones, row, self._language):
                    change = _change(choice)
                    if change.confidence >= HELD and change.confidence < APPLIED:
                        before = settled.get((_heard(heard.text, words, change), change.meant), 0.0)
                        change = replace(change, confidence=max(change.confidence, before))
                    changes.append(change)
            found.append(tuple(sorted(changes, key=lambda c: c.first)))
        return found

    def _told(
        self, number: int, heard: Heard, words: Sequence[Spoken], found: Sequence[Change]
    ) -> tuple[Said, tuple[Repair, ...]]:
        made = _made(found)
        said = replaced(heard.text, words, made)
        timed = retimed(heard.words, heard.text, words, made)
        told = tuple(
            Repair(
                _heard(heard.text, words, c), c.meant, number, c.reason,
                round(c.confidence, 2), c.confidence >= APPLIED,
            )
            for c in found
            if c.confidence >= TOLD
        )  # fmt: skip
        return Said(number, heard.start, heard.end, heard.text, said, tidy(said), timed), told


def _made(found: Sequence[Change]) -> tuple[Change, ...]:
    return tuple(c for c in found if c.confidence >= APPLIED)


def _heard(text: str, words: Sequence[Spoken], change: Change) -> str:
    return text[words[change.first].start : words[change.end - 1].stop]


def _change(choice: Choice) -> Change:
    candidate = choice.candidate
    return Change(
        candidate.first, candidate.end, candidate.meant.written,
        REASONS[candidate.meant.target.group], choice.certainty,
    )  # fmt: skip
