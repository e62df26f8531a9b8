"""Speech for the caption tests: utterances with word times that are known."""

from __future__ import annotations

from ashdraft.model import Said, Word

LONG = (
    "The second third opens with tamarind and a thread of espresso, then the cedar comes back "
    "through the nose, no pepper at all by now, and the burn line has put itself right again."
)


def said(text: str, start: float, end: float, words: tuple[Word, ...] = ()) -> Said:
    return Said(0, start, end, text, text, text, words)


def timed(text: str, start: float, each: float) -> tuple[Word, ...]:
    """Return the words of `text`, one every `each` seconds, a fifth of which is silent."""
    return tuple(
        Word(f" {w}", start + i * each, start + i * each + each * 0.8)
        for i, w in enumerate(text.split())
    )
