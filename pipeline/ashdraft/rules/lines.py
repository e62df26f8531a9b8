"""What the rest of the rule layer sees of an utterance: plain tokens, term hits and cue hits.

spaCy stays behind `nlp.py`; these records are the border. Token indices count from 0 within
one line, punctuation included.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Token:
    """`lower` is lower case; `pos` is the Universal POS tag; `at` the offset in the line's text."""

    text: str
    lower: str
    pos: str
    at: int

    @property
    def is_word(self) -> bool:
        return self.text[0].isalnum() or (len(self.text) > 1 and self.text[0] in "'’")


@dataclass(frozen=True, slots=True)
class TermHit:
    """A lexicon term in a line: tokens `first` up to but not including `end`."""

    first: int
    end: int
    family: str


@dataclass(frozen=True, slots=True)
class CueHit:
    """A cue phrase in a line; `cue` is its id in models/ashdraft_models/cues/*.toml."""

    first: int
    end: int
    cue: str


@dataclass(frozen=True, slots=True)
class Line:
    """One utterance, ready for reading. `start` and `end` in seconds."""

    id: int
    start: float
    end: float
    text: str
    tokens: tuple[Token, ...]
    terms: tuple[TermHit, ...] = ()
    cues: tuple[CueHit, ...] = ()

    def words(self) -> tuple[str, ...]:
        """Lower-case words without punctuation."""
        return tuple(t.lower for t in self.tokens if t.is_word)

    def span(self, first: int, end: int) -> str:
        """The literal text of tokens `first` up to `end`."""
        if first >= end:
            return ""
        last = self.tokens[end - 1]
        return self.text[self.tokens[first].at : last.at + len(last.text)]

    def has(self, prefix: str) -> bool:
        """True when a cue whose id is `prefix` or starts with `prefix.` was found."""
        return any(c.cue == prefix or c.cue.startswith(prefix + ".") for c in self.cues)
