"""One recording's repair: known mis-hearings first, then what sounds like a term."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from ..model import Heard, Repair, Said
from ..tidy import tidy
from .candidates import Candidate, Search
from .language import Language, language
from .misheard import known
from .row import said_in, weighed
from .sizes import written_otherwise
from .text import Change, Spoken, replaced, retimed, spoken
from .topic import reviewing
from .vocabulary import is_own, targets
from .weigh import Choice, choices

APPLIED = 0.45
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


@dataclass(frozen=True, slots=True)
class _Line:
    """One utterance with what might be changed in it, whatever the rest of the session says."""

    heard: Heard
    words: tuple[Spoken, ...]
    known: tuple[Change, ...]
    candidates: tuple[Candidate, ...]

    def span(self, change: Change) -> str:
        return self.heard.text[self.words[change.first].start : self.words[change.end - 1].stop]


class Repairer:
    """Repairs utterances of one session. Raises DataDamaged when its data cannot be read."""

    def __init__(
        self,
        names: Sequence[str] = (),
        terms: Mapping[str, Sequence[str]] | None = None,
        speech: Language | None = None,
    ) -> None:
        sought = targets(names, terms or {})
        own = {w for t in sought if t.group == "name" for w in t.words if is_own(w)}
        self._language = (speech or language()).with_own(own)
        self._search = Search(sought, self._language)

    def repair(self, utterances: Sequence[Heard]) -> tuple[tuple[Said, ...], tuple[Repair, ...]]:
        """All utterances of the session, in order, and everything done or suggested.

        Done twice: what the first round put right counts as said in the second.
        """
        lines = self._lines(utterances)
        heard = said_in(u.text for u in utterances)
        first = [self._changes(line, heard, {}) for line in lines]
        said = said_in(
            replaced(line.heard.text, line.words, _made(found))
            for line, found in zip(lines, first, strict=True)
        )
        settled = {
            (line.span(c), c.meant): c.confidence
            for line, found in zip(lines, first, strict=True)
            for c in _made(found)
        }
        done = [
            _told(number, line, self._changes(line, said, settled))
            for number, line in enumerate(lines)
        ]
        return tuple(s for s, _ in done), tuple(r for _, told in done for r in told)

    def _lines(self, utterances: Sequence[Heard]) -> list[_Line]:
        words = [spoken(u.text) for u in utterances]
        reviews = reviewing([[w.lower for w in row] for row in words], self._language)
        lines: list[_Line] = []
        for heard, row, review in zip(utterances, words, reviews, strict=True):
            sure_of = (*known(row), *written_otherwise(row)) if review else ()
            taken = {i for change in sure_of for i in range(change.first, change.end)}
            found = self._search.candidates(row) if review else ()
            free = [c for c in found if not taken & set(range(c.first, c.end))]
            lines.append(_Line(heard, row, sure_of, tuple(free)))
        return lines

    def _changes(
        self,
        line: _Line,
        session: Mapping[str, int],
        settled: Mapping[tuple[str, str], float],
    ) -> tuple[Change, ...]:
        """What may have been said; `settled` pairs hold wherever they are plausible."""
        changes = list(line.known)
        if line.candidates:
            row = weighed(line.heard, line.words, session)
            for choice in choices(line.candidates, row, self._language):
                change = _change(choice)
                if HELD <= change.confidence < APPLIED:
                    before = settled.get((line.span(change), change.meant), 0.0)
                    change = replace(change, confidence=max(change.confidence, before))
                changes.append(change)
        return tuple(sorted(changes, key=lambda c: c.first))


def _told(number: int, line: _Line, found: Sequence[Change]) -> tuple[Said, tuple[Repair, ...]]:
    made, heard = _made(found), line.heard
    said = replaced(heard.text, line.words, made)
    timed = retimed(heard.words, heard.text, line.words, made)
    told = tuple(
        Repair(line.span(c), c.meant, number, c.reason, round(c.confidence, 2), c in made)
        for c in found
        if c.confidence >= TOLD
    )
    return Said(number, heard.start, heard.end, heard.text, said, tidy(said), timed), told


def _made(found: Sequence[Change]) -> tuple[Change, ...]:
    return tuple(c for c in found if c.confidence >= APPLIED)


def _change(choice: Choice) -> Change:
    candidate = choice.candidate
    return Change(
        candidate.first, candidate.end, candidate.meant.written,
        REASONS[candidate.meant.target.group], choice.certainty,
    )  # fmt: skip
