"""Words into utterances: where a person would put a full stop, and never over a long pause."""

from __future__ import annotations

from itertools import pairwise

import pytest
from ashdraft.model import Word
from ashdraft.transcribe.utterances import LONGEST_PAUSE, glued, utterances
from hypothesis import given
from hypothesis import strategies as st


def words(text: str, pace: float = 0.3) -> list[Word]:
    """Words of 0.25 s one after the other; a token like <1.5> is a pause of so many seconds."""
    found, at = [], 0.0
    for token in text.split():
        if token.startswith("<"):
            at += float(token[1:-1])
            continue
        found.append(Word(token, round(at, 3), round(at + 0.25, 3), 0.9))
        at += pace
    return found


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Lit. Cedar first.", ["Lit.", "Cedar first."]),
        ("It is 5.5 by 46. Nice.", ["It is 5.5 by 46.", "Nice."]),
        ("I paid $8. 50 each.", ["I paid $8. 50 each."]),
        ("The Lantern No. 3 today.", ["The Lantern No. 3 today."]),
        ("Leather? No. Hay.", ["Leather?", "No.", "Hay."]),
        ("Mr. Alder and Dr. Birch sent it.", ["Mr. Alder and Dr. Birch sent it."]),
        ("Made by J. R. Alder here.", ["Made by J. R. Alder here."]),
        ("So did I. Then it went out.", ["So did I.", "Then it went out."]),
        ("Leather... no, hay.", ["Leather... no, hay."]),
        ("Touched it up <1.5> once.", ["Touched it up", "once."]),
        ("It burns <0.8> evenly now.", ["It burns <0.8> evenly now."]),
        ("It went out. <0.9> and I relit it.", ["It went out.", "and I relit it."]),
        ('He said "nice." Then left.', ['He said "nice."', "Then left."]),
        ("Really?! Yes.", ["Really?!", "Yes."]),
    ],
)
def test_utterances_end_where_sentences_do(text: str, wanted: list[str]) -> None:
    plain = [" ".join(w for w in line.split() if not w.startswith("<")) for line in wanted]
    assert [u.text for u in utterances(words(text))] == plain


def test_utterances_part_a_run_on_at_its_best_pause() -> None:
    run_on = " ".join(f"w{n}" for n in range(40)) + ", <0.7> and " + " ".join(["more"] * 40)
    found = utterances(words(run_on))
    assert found[0].text.endswith("w39,") or "w39" in found[1].text
    assert [u.text.split()[-1] for u in found if u.text.endswith(",")] == ["w39,"]
    assert all(u.end - u.start <= 18.5 for u in found)
    assert all(len(u.words) >= 4 for u in found)


def test_utterances_carry_their_words_and_times() -> None:
    (one,) = utterances(words("Cedar and pepper"))
    assert (one.start, one.end) == (0.0, 0.85)
    assert [w.text for w in one.words] == ["Cedar", "and", "pepper"]


def test_glued_puts_a_recognisers_pieces_together() -> None:
    pieces = [
        Word(" two", 0.0, 0.2, 0.9),
        Word(" touch", 0.2, 0.4, 0.8),
        Word("-ups,", 0.4, 0.6, 0.6),
        Word(" $8", 0.7, 0.8, 0.9),
        Word(".50", 0.8, 1.0, 0.7),
        Word(" ", 1.0, 1.0, 0.1),
    ]
    assert glued(pieces) == [
        Word("two", 0.0, 0.2, 0.9),
        Word("touch-ups,", 0.2, 0.6, 0.6),
        Word("$8.50", 0.7, 1.0, 0.7),
    ]


TOKENS = st.sampled_from(["a", "Bee.", "no.", "No.", "5.", "7", "Mr.", "so?", "J.", "..."])


@given(st.lists(st.tuples(TOKENS, st.floats(0, 4)), max_size=120))
def test_utterances_keep_every_word_once_and_never_span_a_pause(
    spoken: list[tuple[str, float]],
) -> None:
    at, said = 0.0, []
    for text, pause in spoken:
        at += pause
        said.append(Word(text, at, at + 0.2))
        at += 0.2
    found = utterances(said)
    assert [w for u in found for w in u.words] == said
    for one in found:
        for first, second in pairwise(one.words):
            assert second.start - first.end <= LONGEST_PAUSE + 1e-9
