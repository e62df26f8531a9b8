"""From recognised words to utterances: a sentence or a breath group, as a person would punctuate.

Pure functions on words in time order; nothing of what was heard is changed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..model import Heard, Word

# Two words further apart than this are never one utterance (seconds).
LONGEST_PAUSE = 1.2
# A mark that is not followed by a capital letter ends a sentence only with a pause.
_UNSURE_PAUSE = 0.6
# Longer utterances are parted at their best inner pause.
_LONGEST = 18.0
_MOST_WORDS = 45
_FEWEST_WORDS = 4  # on either side of such a cut

_SENTENCE_END = re.compile(r"[.?!…]+[\"'”’)\]]*$")
_TITLE = re.compile(r"(?:mr|mrs|ms|dr|st|vs|approx|e\.g|i\.e)\.$", re.IGNORECASE)
_BEFORE_NUMBER = re.compile(r"(?:nos?|vol)\.$", re.IGNORECASE)
_INITIALS = re.compile(r"(?:[A-HJ-Z]\.)+$")
_NUMBER = re.compile(r"[$€£]?\d[\d,]*\.$")
_JOINERS = frozenset(["and", "but", "so", "because", "which", "while", "with", "then", "or"])


def utterances(words: Sequence[Word]) -> tuple[Heard, ...]:
    """Group `words` (time order) into utterances; never over a pause of more than 1.2 s."""
    groups: list[list[Word]] = []
    for word in words:
        if groups and not _ends_between(groups[-1][-1], word):
            groups[-1].append(word)
        else:
            groups.append([word])
    return tuple(_heard(part) for group in groups for part in _parted(group))


def _ends_between(last: Word, following: Word) -> bool:
    pause = following.start - last.end
    if pause > LONGEST_PAUSE:
        return True
    if not _SENTENCE_END.search(last.text):
        return False
    before_digit = following.text[0].isdigit()
    if before_digit and (_NUMBER.match(last.text) or _BEFORE_NUMBER.match(last.text)):
        return False  # "8. 50" is one number, "No. 7" one name
    if _TITLE.match(last.text) or (_INITIALS.match(last.text) and pause <= _UNSURE_PAUSE):
        return False
    if following.text[0].islower():
        return pause > _UNSURE_PAUSE
    return True


def _parted(group: list[Word]) -> list[list[Word]]:
    """A group short enough to read; a longer one is cut where the speaker paused most."""
    length = group[-1].end - group[0].start
    if (length <= _LONGEST and len(group) <= _MOST_WORDS) or len(group) < 2 * _FEWEST_WORDS:
        return [group]
    cuts = range(_FEWEST_WORDS, len(group) - _FEWEST_WORDS + 1)
    best = max(cuts, key=lambda cut: _worth(group, cut))
    return [*_parted(group[:best]), *_parted(group[best:])]


def _worth(group: Sequence[Word], cut: int) -> tuple[float, float]:
    """How good a place before word `cut` is: pause, comma, joining word; then the middle."""
    last, following = group[cut - 1], group[cut]
    worth = max(following.start - last.end, 0.0)
    worth += 0.4 * last.text.endswith((",", ";", ":"))
    worth += 0.2 * (following.text.lower() in _JOINERS)
    return worth, -abs(cut - len(group) / 2)


def _heard(words: Sequence[Word]) -> Heard:
    text = " ".join(word.text for word in words)
    return Heard(words[0].start, words[-1].end, text, tuple(words))


def glued(pieces: Iterable[Word]) -> list[Word]:
    """Words from a recogniser's pieces, whose texts begin with a space where a word begins.

    `touch` + `-ups` and `8` + `.50` become one word each, with the lower probability.
    """
    words: list[Word] = []
    for piece in pieces:
        text = piece.text.strip()
        if not text:
            continue
        if words and not piece.text.startswith(" "):
            last = words[-1]
            words[-1] = Word(
                last.text + text,
                last.start,
                max(last.end, piece.end),
                min(last.probability, piece.probability),
            )
        else:
            words.append(Word(text, piece.start, piece.end, piece.probability))
    return words
