"""Probabilities of words: the published back-off, kinds of words, general English."""

from __future__ import annotations

import math

import pytest
from ashdraft.repair.english import english
from ashdraft.repair.language import END, START, from_counts, kind_of, language
from ashdraft_models.repair.train_spoken import counted


def test_language_backs_off_as_witten_and_bell_do() -> None:
    # Witten and Bell 1991, method C: an event seen c times after a history seen n times with t
    # different followers has (c + t * lower) / (n + t). Worked by hand for "oily zzyzx".
    model = from_counts(counted(["zzyzx grue", "zzyzx grue", "zzyzx frob"]))
    low = math.exp(model.plain("grue", "zzyzx"))
    alone = (2 + 4 * low) / (9 + 4)  # 2 grue among 9 words; zzyzx, grue, frob and the end
    pair = (2 + 2 * alone) / (3 + 2)
    triple = (2 + 1 * pair) / (2 + 1)  # "<s> zzyzx grue" twice; once only is not kept
    assert model.log("grue", "zzyzx", START) == pytest.approx(
        math.log(0.75 * triple + 0.25 * low), rel=1e-6
    )


def test_language_words_of_a_kind_speak_for_each_other() -> None:
    assert kind_of("wrapper") == kind_of("binder") != kind_of("wrappers")
    model = from_counts(counted(["the wrapper is oily"] * 3))
    assert model.score(["the", "binder", "is", "oily"], 2, 4) == pytest.approx(
        model.score(["the", "wrapper", "is", "oily"], 2, 4), abs=0.01
    )


# What people say of cigars is likelier than what sounds like it; common practice, no source.
@pytest.mark.parametrize(
    ("said", "instead"),
    [
        ("a touch of cedar", "a touch of seater"),
        ("the wrapper is oily", "the rapper is oily"),
        ("the pepper's gone", "the peppers gone"),
        ("on the retrohale", "on the retro hail"),
    ],
)
def test_language_knows_how_reviewers_speak(said: str, instead: str) -> None:
    def score(text: str) -> float:
        row = [*text.split(), END]
        return language().score(row, 0, len(row))

    assert score(said) > score(instead)


def test_language_general_english_knows_common_pairs() -> None:
    plain = english()
    assert plain.log("the", "of") > plain.log("the", "the")
    assert plain.log("york", "new") > plain.log("york", "old") > plain.log("zzyzx", "old")
    assert plain.log("the", "of") < 0


def test_language_a_word_of_ones_own_is_not_impossible() -> None:
    own = language().with_own(["dunvarrick"])
    assert own.log("dunvarrick", "the", START) > language().log("dunvarrick", "the", START)
    assert own.log("wrapper", "the", START) == language().log("wrapper", "the", START)
