"""Known mis-hearings, and what happens to the words around them."""

from __future__ import annotations

import pytest
from ashdraft.model import Heard, Word
from ashdraft.repair import repair


def said(text: str) -> str:
    return repair([Heard(1.0, 2.0, text)])[0][0].said


# The examples of the project's own measurements of the base model.
@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("Pepper on the retro hail.", "Pepper on the retrohale."),
        ("The rapper is oily.", "The wrapper is oily."),
        ("Cold drawl is a bit tight.", "Cold draw is a bit tight."),
        ("That makes it too so far.", "That makes it two so far."),
        ("Mars band on the finish.", "Marzipan on the finish."),
        (
            "It went out and I relived it with the torch.",
            "It went out and I relit it with the torch.",
        ),
    ],
)
def test_misheard_known_phrases(heard: str, meant: str) -> None:
    assert said(heard) == meant


def test_misheard_needs_its_context() -> None:
    assert said("I relived my childhood.") == "I relived my childhood."
    assert (
        said("Sumatra wrapper, a Nicaragua and binder.") == "Sumatra wrapper, a Nicaraguan binder."
    )
    told = "The wrapper is from Nicaragua and binder and filler are from Mexico."
    assert said(told) == told


def test_misheard_every_repair_is_told() -> None:
    _, repairs = repair([Heard(0, 1, "Hello."), Heard(1, 2, "The Retro hail is dry.")])
    (told,) = repairs
    assert (told.heard, told.meant, told.utterance) == ("Retro hail", "retrohale", 1)
    assert told.reason
    assert told.applied
    assert 0 < told.confidence <= 1


def test_misheard_new_words_share_the_time_of_the_old() -> None:
    heard = Heard(
        0.0, 2.0, "the retro hail, dry",
        (Word("the", 0.0, 0.2), Word("retro", 0.2, 0.6), Word("hail,", 0.6, 1), Word("dry", 1, 2)),
    )  # fmt: skip
    (done,), _ = repair([heard])
    assert done.said == "the retrohale, dry"
    assert [(w.text, w.start, w.end) for w in done.words] == [
        ("the", 0.0, 0.2), ("retrohale,", 0.2, 1.0), ("dry", 1, 2),
    ]  # fmt: skip
    assert done.heard == heard.text


def test_misheard_text_is_tidied() -> None:
    (done,), _ = repair([Heard(0, 1, "um the rapper is is oily")])
    assert done.said == "um the wrapper is is oily"
    assert "um" not in done.text.lower().split()


def test_misheard_a_capital_at_the_start_of_a_sentence_is_kept_in_text_and_times() -> None:
    timed = tuple(Word(w, i, i + 1) for i, w in enumerate("Dry now. Mars band again.".split()))
    (done,), _ = repair([Heard(0, 5, "Dry now. Mars band again.", timed)])
    assert done.said == "Dry now. Marzipan again."
    assert [w.text for w in done.words] == done.said.split()
