"""What may have been said instead of what was heard, with the evidence for and against."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..rules.data import lexicon
from .distance import distance
from .index import SoundIndex
from .language import END, Language
from .sounds import phrase
from .text import Spoken
from .vocabulary import Target

LONGEST = 4  # heard words that may stand for one term
_AHEAD = 2  # words after a change whose probability it changes
_SOUNDS = 2  # a term of fewer sounds is never looked for
_FAR, _FAR_AT_ALL = 0.2, 1.7  # distance, for each sound of the term and in all
_IS = 0.25  # the distance between an s and "is"
_EXPECTED = (0.0, 12.0, 18.0, 24.0, 30.0)
"""By the number of heard words: a phrase better expected than this (natural logarithm, with the
two words that follow) makes sense as it stands and is left alone."""
_GAIN = 1.0  # a target that gains less is no candidate
_SPELT = 0.05  # two terms nearer than this are one, spelt in two ways
HESITATIONS = frozenset(["um", "uh", "er", "erm", "eh", "hm", "hmm", "mm", "ah", "oh"])


@dataclass(frozen=True, slots=True)
class Alike:
    """A target, or a form of it, that sounds like a heard phrase. `size` counts its sounds."""

    written: str
    words: tuple[str, ...]
    target: Target
    far: float
    size: int


@dataclass(frozen=True, slots=True)
class Candidate:
    """Heard words `first` up to `end` may have been `meant`.

    `gain` is how much likelier that is where it stands (natural logarithm), `strange` how
    unlikely the heard words are there.
    """

    first: int
    end: int
    meant: Alike
    gain: float
    strange: float


class Search:
    """Looks for targets in rows of words. Build it once for a set of targets."""

    def __init__(self, targets: Sequence[Target], language: Language) -> None:
        self.targets = targets
        self.language = language
        self._index = SoundIndex(
            (n, s) for n, t in enumerate(targets) for s in t.sounds if len(s) >= _SOUNDS
        )
        self._alike: dict[tuple[str, ...], tuple[Alike, ...]] = {}

    def candidates(self, spoken: Sequence[Spoken]) -> Iterator[Candidate]:
        """All candidates in one utterance; none spans a comma or another mark."""
        words = [w.lower for w in spoken]
        row = (*words, END)
        logs = [self.language.score(row, i, i + 1) for i in range(len(row))]
        for first in range(len(words)):
            for end in range(first + 1, min(len(words), first + LONGEST) + 1):
                if (end > first + 1 and spoken[end - 1].apart) or not _heard_as_word(
                    words[end - 1]
                ):
                    break
                stop = min(len(row), end + _AHEAD)
                before = sum(logs[first:stop])
                if -before < _EXPECTED[end - first]:
                    continue
                for meant in self.alike(tuple(words[first:end])):
                    start = max(0, first - 2)
                    changed = (*row[start:first], *meant.words, *row[end:stop])
                    after = self.language.score(changed, first - start, len(changed))
                    if after - before > _GAIN:
                        yield Candidate(first, end, meant, after - before, -before)

    def alike(self, words: tuple[str, ...]) -> tuple[Alike, ...]:
        """What sounds like the words and is written otherwise."""
        found = self._alike.get(words)
        if found is None:
            found = self._alike[words] = tuple(self._compare(words))
        return found

    def _compare(self, words: tuple[str, ...]) -> Iterator[Alike]:
        best: dict[str, Alike] = {}
        for heard in phrase(words):
            for sounds, suffixed in _stems(heard):
                for number, far, size in self._near(sounds):
                    target = self.targets[number]
                    forms = target.forms() if suffixed else ((target.written, target.words),)
                    if far < _SPELT and " ".join(words) in lexicon():
                        continue  # chili, chilli
                    for written, said in forms:
                        away = far + _IS if said[-1] == "is" else far
                        if _other(words, target, said) and (
                            written not in best or away < best[written].far
                        ):
                            best[written] = Alike(written, said, target, away, size)
        yield from best.values()

    def _near(self, sounds: str) -> Iterator[tuple[int, float, int]]:
        for number, meant in self._index.near(sounds):
            limit = min(_FAR_AT_ALL, _FAR * len(meant))
            far = distance(sounds, meant, limit)
            if far < limit:
                yield number, far, len(meant)


def _heard_as_word(word: str) -> bool:
    return word.replace("'", "").isalpha() and word not in HESITATIONS


def _other(heard: tuple[str, ...], target: Target, said: tuple[str, ...]) -> bool:
    """True where the words are really others, not a form or a spelling of what was heard.

    One form is told from another only where an s was heard that may be 's: "bands", "band's".
    Two words are made one ("mouth feel") only for the trade's own words.
    """
    size, base = len(target.words), target.words[-1]
    if any(heard[i : i + size] == target.words for i in range(len(heard) - size + 1)):
        return False  # "leaf is", "a Nicaragua"
    if _bare(heard) == _bare(target.words):
        if len(heard) != size:
            whole = said == target.words or heard[-1].endswith("'s")
            return whole and target.group == "trade" and "".join(heard) == "".join(said)
        return heard[-1] != f"{base}'s" and said[-1] in (f"{base}'s", "is")
    return True


def _bare(words: tuple[str, ...]) -> str:
    """Letters only, without an s at the end."""
    return "".join(words).replace("'", "").rstrip("s")


def _stems(sounds: str) -> Iterator[tuple[str, bool]]:
    """The sounds whole, and without a final s that may be an ending."""
    yield sounds, False
    if len(sounds) > _SOUNDS and sounds[-1] in "sz":
        yield sounds[:-1], True
        if sounds[-2] in "xi":
            yield sounds[:-2], True
