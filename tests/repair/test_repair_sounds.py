"""Pronunciations and how far they are apart."""

from __future__ import annotations

import pytest
from ashdraft.repair.distance import distance
from ashdraft.repair.index import SoundIndex, skeleton
from ashdraft.repair.sounds import LETTERS, arpabet, phrase, pronounced
from hypothesis import given
from hypothesis import strategies as st

ANY = st.text(alphabet=sorted(LETTERS.values()), max_size=9)


# Entries of the CMU Pronouncing Dictionary 0.7b (cmudict.dict), stress left out.
@pytest.mark.parametrize(
    ("word", "entry"),
    [
        ("cedar", "S IY D ER"),
        ("leather", "L EH DH ER"),
        ("wrapper", "R AE P ER"),
        ("rapper", "R AE P ER"),
        ("nutmeg", "N AH T M EH G"),
        ("humidor", "HH Y UW M IH D AO R"),
    ],
)
def test_sounds_are_those_of_the_dictionary(word: str, entry: str) -> None:
    assert arpabet(entry.split()) in pronounced(word)


# Invented words whose parts the dictionary has settle how they are read: bell, vane, quick ...
@pytest.mark.parametrize(
    ("invented", "entry"),
    [
        ("bellvane", "B EH L V EY N"),
        ("dunbarrick", "D AH N B AE R IH K"),
        ("quickley", "K W IH K L IY"),
        ("strengthe", "S T R EH NG G TH"),
        ("mishtoph", "M IH SH T AA F"),
    ],
)
def test_sounds_of_unknown_words_follow_the_rules(invented: str, entry: str) -> None:
    assert distance(pronounced(invented)[0], arpabet(entry.split())) <= 0.5


def test_sounds_of_a_possessive_follow_its_last_sound() -> None:
    # English grammar: /s/ after voiceless sounds, /iz/ after hisses, else /z/.
    assert pronounced("dunbarrick's")[0].endswith("ks")
    assert pronounced("bellvane's")[0].endswith("nz")
    assert pronounced("dunbrash's")[0].endswith("Siz")


@given(ANY, ANY)
def test_distance_is_symmetric_and_nought_only_for_the_same(a: str, b: str) -> None:
    assert distance(a, b) == pytest.approx(distance(b, a))
    assert (distance(a, b) == 0) == (a == b)


@given(ANY, ANY, st.floats(0.1, 3.0))
def test_distance_below_a_limit_is_the_distance(a: str, b: str, limit: float) -> None:
    assert distance(a, b, limit) == pytest.approx(min(limit, distance(a, b)))


# Which of two is nearer: by articulation (Ladefoged, A Course in Phonetics: place, manner, voice).
@pytest.mark.parametrize(
    ("heard", "nearer", "farther"),
    [
        ("seater", "cedar", "leather"),
        ("lever", "leather", "liver pate"),
        ("melty", "malty", "minty"),
        ("stake", "stick", "stark"),
        ("banes", "veins", "beans and"),
        ("retro hell", "retrohale", "retro"),
    ],
)
def test_distance_follows_articulation(heard: str, nearer: str, farther: str) -> None:
    def far(other: str) -> float:
        return min(
            distance(a, b)
            for a in phrase(tuple(heard.split()))
            for b in phrase(("retro", "hail") if other == "retrohale" else tuple(other.split()))
        )

    assert far(nearer) < far(farther)


@given(st.text(alphabet="aei", max_size=2), ANY, st.data())
def test_index_finds_terms_with_a_consonant_lost(
    vowels: str, sounds: str, data: st.DataObject
) -> None:
    index = SoundIndex([(7, sounds)])
    assert (7, sounds) in index.near(sounds)
    bones = skeleton(sounds)
    if len(bones) >= 4:
        lost = data.draw(st.integers(0, len(bones) - 1))
        rest = bones[:lost] + bones[lost + 1 :]
        if skeleton(rest) == rest:  # doubles count as one
            assert (7, sounds) in index.near(vowels + rest)
