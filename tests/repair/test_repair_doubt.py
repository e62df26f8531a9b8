"""Words marked doubtful: told once, never where a repair tells of them, and calibrated."""

from __future__ import annotations

import pytest
from ashdraft.model import Heard, Repair, Word
from ashdraft.repair import doubtful
from ashdraft.repair.doubt import DOUBTED, wrong_chances
from ashdraft.repair.text import spoken

from tests.repair.measured import without
from tests.repair.recordings import edits, recordings
from tests.speech.measure import words as normalised


def heard(*pairs: tuple[str, float]) -> Heard:
    timed = tuple(Word(text, float(i), i + 0.9, p) for i, (text, p) in enumerate(pairs))
    return Heard(0.0, float(len(timed)), " ".join(text for text, _ in pairs), timed)


UNSURE = heard(
    ("The", 0.99), ("surrel", 0.2), ("gaetz", 0.2), ("is", 0.99), ("um", 0.1), ("oily.", 0.99)
)


def test_doubt_words_together_are_told_together() -> None:
    (told,) = doubtful([heard(("Fine.", 0.99)), UNSURE], ())
    assert "“surrel gaetz”" in told.message
    assert (told.kind, told.utterances) == ("hearing", (1,))


def test_doubt_is_not_told_where_a_repair_is() -> None:
    repair = Repair("surrel gaetz", "sorrel", 0, "sounds like a tasting note", 0.3, applied=False)
    assert doubtful([UNSURE], [repair]) == ()


def test_doubt_needs_word_times() -> None:
    assert doubtful([Heard(0.0, 1.0, "The surrel gaetz is oily.")], ()) == ()


@pytest.mark.slow
def test_doubt_half_of_the_marked_words_are_wrong() -> None:
    """On recordings whose authors were kept out of fitting."""
    marked = wrong = 0
    for recording in recordings(checked=True):
        model = without(recording.author)
        for line, meant in zip(recording.heard, recording.meant(), strict=True):
            row = spoken(line.text)
            for word, chance in zip(row, wrong_chances(line, row, model), strict=True):
                if chance >= DOUBTED and not any(c.isdigit() for c in word.lower):
                    rest = line.text[: word.start] + line.text[word.stop :]
                    marked += 1
                    wrong += edits(meant, normalised(rest)) <= edits(meant, normalised(line.text))
    assert marked > 100
    assert wrong / marked >= 0.5
