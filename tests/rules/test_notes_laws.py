"""What holds of tasting notes whatever is said: no crash, and only words that were said."""

from __future__ import annotations

import time
from typing import get_args

import pytest
from ashdraft.model import SECTIONS, Intensity, Polarity, Said, Section, Source
from ashdraft.rules import data
from ashdraft.rules.nlp import analyse
from ashdraft.rules.notes import find, settle
from ashdraft.rules.notes.nouns import kind, singulars
from ashdraft.rules.notes.stream import build, plain_phrase
from ashdraft.rules.place.model import Placed
from hypothesis import given, settings
from hypothesis import strategies as st

SPOKEN = sorted(
    {
        w
        for cue, ps in data.cues().items()
        if cue.startswith("notes.")
        for p in ps
        for w in p.split()
    }
)
TERMS = sorted(data.lexicon())
SPEECH = st.lists(
    st.one_of(
        st.sampled_from(SPOKEN), st.sampled_from(TERMS), st.sampled_from([",", ".", "?", "um"])
    ),
    max_size=25,
).map(" ".join)
LINES = st.lists(st.one_of(SPEECH, st.text(max_size=60)), max_size=6)


def _said(texts: list[str]) -> list[Said]:
    return [Said(i, i * 5.0, i * 5.0 + 4.0, t, t, t) for i, t in enumerate(texts)]


def _placed(texts: list[str], section: Section) -> list[Placed]:
    return [Placed(section, None, None, 0.5, 1) for _ in texts]


@settings(max_examples=150, deadline=None)
@given(LINES, st.sampled_from(SECTIONS))
def test_notes_are_literal_parts_of_what_was_said(texts: list[str], section: Section) -> None:
    for note in settle(analyse(_said(texts)), _placed(texts, section)):
        said = texts[note.utterance]
        assert note.quote in said
        assert note.term in said.lower()
        assert note.term in note.quote.lower()
        assert note.polarity in get_args(Polarity)
        assert note.source in get_args(Source)
        assert note.intensity in get_args(Intensity)
        assert note.polarity == "present" or note.intensity == "plain"
        assert note.section == section


@settings(max_examples=80, deadline=None)
@given(LINES)
def test_notes_are_told_once_a_line(texts: list[str]) -> None:
    notes = settle(analyse(_said(texts)), _placed(texts, "palate"))
    told = [(n.utterance, n.term, n.polarity) for n in notes]
    assert len(told) == len(set(told))


@settings(max_examples=80, deadline=None)
@given(LINES)
def test_find_gives_an_answer_for_each_line(texts: list[str]) -> None:
    found = find(analyse(_said(texts)))
    assert len(found) == len(texts)
    assert all(0.0 <= f.probability <= 1.0 for line in found for f in line)


@settings(max_examples=80, deadline=None)
@given(LINES)
def test_stream_columns_agree(texts: list[str]) -> None:
    stream = build(analyse(_said(texts)))
    assert len({len(stream.low), len(stream.pos), len(stream.line), len(stream.gap)}) == 1
    assert [n for n, (a, b) in enumerate(stream.spans) for _ in range(a, b)] == list(stream.line)


@pytest.mark.parametrize("word", ["cedar ", "a hint of "])
def test_notes_of_an_endless_utterance_take_little_time(word: str) -> None:
    """10,000 words in one utterance: no slow growth (common practice, no source)."""
    texts = [word * (10_000 // len(word.split()))]
    lines = analyse(_said(texts))
    start = time.process_time()
    settle(lines, _placed(texts, "palate"))
    assert time.process_time() - start < 8.0


@pytest.mark.parametrize(
    "text", ["", " ", "\n\t", "😀😀", "שלום עולם", "'" * 50, "...", "no", "the"]
)
def test_notes_of_odd_text_are_none(text: str) -> None:
    assert settle(analyse(_said([text])), _placed([text], "palate")) == ()


def test_sections_without_notes_forbid_them_only_when_sure() -> None:
    lines = analyse(_said(["Lots of black pepper and cedar."]))
    sure = [Placed("pairing", None, None, 0.95, 1)]
    assert settle(lines, sure) == ()


@pytest.mark.parametrize(
    ("phrase", "plain"),
    [
        ("can't find", ("can", "not", "find")),
        ("it's", ("it", "'s")),
        ("gettin'", ("getting",)),
        ("i’ve", ("i", "have")),
        ("nae", ("no",)),
    ],
)
def test_plain_phrase_writes_short_forms_out(phrase: str, plain: tuple[str, ...]) -> None:
    assert plain_phrase(phrase) == plain


def test_nouns_know_things_from_notions() -> None:
    """Kinds as WordNet 3.0 files them: food, plant, substance; time; act or state."""
    assert set(kind("quince")) & {"f", "p"}
    assert kind("minute").startswith("t")
    assert kind("quinces") == kind("quince")
    assert kind("zzyzx") == ""
    assert "berry" in singulars("berries")


def test_lexicon_is_large_and_in_families() -> None:
    known = data.lexicon()
    assert len(known) >= 1500
    assert len(set(known.values())) >= 20
