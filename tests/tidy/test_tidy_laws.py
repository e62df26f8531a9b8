"""What holds for every text: no new word, no new order, tidy once and for all."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
import yaml
from ashdraft.rules.numbers import read_numbers
from ashdraft.tidy import tidy
from ashdraft.tidy.vocabulary import vocabulary
from hypothesis import given, settings
from hypothesis import strategies as st

LABELLED = Path(__file__).parents[1] / "labelled"
UNITS = {"dollar", "dollars", "pound", "pounds", "euro", "euros", "percent", "per", "cent", "cents"}
UNITS |= {"pence", "by"}


@cache
def recorded() -> tuple[str, ...]:
    """Every text of every second labelled recording, as it stands and as raw lower-case words."""
    files = sorted(LABELLED.glob("*/*.yaml"))[::2]
    texts = [u["text"] for f in files for u in yaml.safe_load(f.read_text("utf-8"))["utterances"]]
    raw = [" ".join(re.sub(r"[^\w\s'’-]", " ", t.lower()).split()) for t in texts[::3]]
    return tuple(dict.fromkeys([*texts, *raw]))


@cache
def tidied() -> dict[str, str]:
    return {said: tidy(said) for said in recorded()}


def words(text: str) -> list[str]:
    """The words of a text without its numbers, in lower case."""
    for number in reversed(read_numbers(text)):
        text = text[: number.start] + " " + text[number.stop :]
    found = re.findall(r"[^\W\d_]+(?:['’][^\W\d_]+)*", text.lower())
    return [w for w in found if w not in UNITS and not read_numbers(w)]


def stands_in(kept: list[str], said: list[str]) -> bool:
    """True where `kept` is a subsequence of `said`."""
    row = iter(said)
    return all(word in row for word in kept)


def values(text: str) -> list[float]:
    return [v for n in read_numbers(text) for v in n.parts]


def check(said: str, text: str) -> None:
    spoken_values = values(said)
    sums = {a + b / 100 for a, b in pairwise(spoken_values)}
    assert {round(v, 6) for v in values(text)} <= {round(v, 6) for v in {*spoken_values, *sums}}
    assert stands_in(words(text), words(said)), "a word was added or moved"
    assert tidy(text) == text, "tidying twice is not tidying once"
    spoken = [w for w in re.findall(r"\w+", said.lower()) if w not in vocabulary().hesitations]
    assert bool(text) or not spoken, "spoken words were lost"
    assert "  " not in text
    assert text == text.strip()


def test_tidy_laws_of_the_labelled_recordings() -> None:
    assert len(recorded()) > 3000
    for said, text in tidied().items():
        check(said, text)


def test_tidy_removes_every_hesitation_of_the_recordings() -> None:
    hesitation = re.compile(r"\b(um|uh|er|erm|hmm)\b", re.IGNORECASE)
    assert any(hesitation.search(said) for said in tidied())
    assert not [text for text in tidied().values() if hesitation.search(text)]


LIKELY = sorted(
    {w for said in recorded()[:400] for w in said.split()}
    | {"um", "uh,", "you", "know,", "no,", "wait,", "sorry,", "—", "...", "(", '"', "65%", "$8.50"}
    | {"five", "and", "a", "half", "by", "forty-six", "eighth", "out", "of", "ten", "minutes."}
    | {"scratch", "that.", "or", "rather", "the,", "the", "it,", "it's", "I", "i'm", "b-b-bit"}
)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(LIKELY), max_size=25).map(" ".join))
def test_tidy_laws_of_any_spoken_words(said: str) -> None:
    check(said, tidy(said))


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=80))
def test_tidy_never_raises(said: str) -> None:
    assert tidy(tidy(said)) == tidy(said)


@pytest.mark.parametrize("said", ["", "   ", "um", "Um, uh.", "...", "—", "um um um"])
def test_tidy_is_empty_where_nothing_was_said(said: str) -> None:
    assert tidy(said) == ""


@pytest.mark.parametrize("said", ["Okay.", "So", "you know", "no", "♪", "right so", "Like,"])
def test_tidy_keeps_words_that_are_all_there_is(said: str) -> None:
    assert tidy(said)


def test_tidy_long_text_in_reasonable_time() -> None:
    said = "it's, it's a, um, five and a half, no, six and a half, you know, the the thing " * 60
    assert len(tidy(said)) > 100
