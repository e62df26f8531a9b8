"""A spoken text as a row of words with their punctuation, and the way back to text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

Span = tuple[int, int]
"""Pieces `first` up to but not including `end`."""

SENTENCE_ENDS = frozenset(".!?")
PAUSES = frozenset(",;:—…")

_OPENING = '"“«([{'
_CLOSING = '"”»)]}'
_STOPS = ".,;:!?…—–"
_TAIL = re.compile(rf"[{re.escape(_CLOSING + _STOPS)}]*$")
_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_GLUED = re.compile(r"([,;!?…—])(?=[^\W\d_])")


@dataclass(frozen=True, slots=True)
class Piece:
    """One word. It is written `opening word closing stop after`, without blanks.

    `word` is as it was said; `stop` is one of the signs , ; : — … . ! ? or empty. `lower` is
    the word in lower case with plain apostrophes, for comparing.
    """

    word: str
    stop: str = ""
    opening: str = ""
    closing: str = ""
    after: str = ""
    lower: str = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "lower", self.word.lower().replace("’", "'"))

    @property
    def enclosed(self) -> bool:
        """True where a quotation mark or bracket hangs on the word."""
        return bool(self.opening or self.closing or self.after)

    @property
    def ends(self) -> bool:
        """True for the last word of a sentence."""
        return self.stop in SENTENCE_ENDS and bool(self.stop)

    @property
    def pauses(self) -> bool:
        """True for a word before a pause inside a sentence."""
        return self.stop in PAUSES and bool(self.stop)


def split(text: str) -> list[Piece]:
    """Return the words of `text`; signs that stand alone go to the word before them."""
    pieces: list[Piece] = []
    loose = _GLUED.sub(r"\1 ", _CONTROL.sub(" ", text).replace("...", "…"))
    for chunk in loose.split():
        if all(c in _STOPS + "-" for c in chunk):
            if pieces and not pieces[-1].stop:
                pieces[-1] = replace(pieces[-1], stop=_stop(chunk))
        elif not all(c in _OPENING + _CLOSING + _STOPS for c in chunk):
            pieces.append(_piece(chunk))
    return pieces


def join(pieces: Sequence[Piece]) -> str:
    """Return the text of `pieces`."""
    return " ".join(
        f"{p.opening}{p.word}{p.closing}{' —' if p.stop == '—' else p.stop}{p.after}"
        for p in pieces
    )


def starts_sentence(pieces: Sequence[Piece], at: int) -> bool:
    """Return True where piece `at` is the first of a sentence."""
    return at == 0 or pieces[at - 1].ends


def sentence_end(pieces: Sequence[Piece], at: int) -> int:
    """Return the index after the last piece of the sentence that holds piece `at`."""
    while at < len(pieces) and not pieces[at].ends:
        at += 1
    return min(at + 1, len(pieces))


def sentence_start(pieces: Sequence[Piece], at: int) -> int:
    """Return the index of the first piece of the sentence that holds piece `at`."""
    while at > 0 and not pieces[at - 1].ends:
        at -= 1
    return at


def _piece(chunk: str) -> Piece:
    start = len(chunk) - len(chunk.lstrip(_OPENING + _STOPS))
    tail = _TAIL.search(chunk, start)
    cut = tail.start() if tail else len(chunk)
    word, signs = chunk[start:cut], chunk[cut:]
    opening = "".join(c for c in chunk[:start] if c in _OPENING)
    if opening and opening[-1] == '"' and word[:1] in ".,":
        opening = ""
    at = next((n for n, c in enumerate(signs) if c in _STOPS), len(signs))
    closers = [c if c in _CLOSING else "" for c in signs]
    return Piece(word, _stop(signs), opening, "".join(closers[:at]), "".join(closers[at:]))


def _stop(signs: str) -> str:
    """Return the one sign that a run of signs comes to."""
    for sign in "?!….;:,":
        if sign in signs:
            return "…" if sign == "." and ".." in signs else sign
    return "—" if any(c in signs for c in "—–-") else ""
