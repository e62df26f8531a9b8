"""What the repair must never do: lose words, touch sense, touch general English, take long."""

from __future__ import annotations

import re
import time
from collections import Counter
from pathlib import Path

import pytest
from ashdraft.model import Heard, Word
from ashdraft.repair import repair
from ashdraft_models.repair.train_spoken import texts
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.needs import need
from tests.repair.measured import FOLDERS

PROSE = Path("/usr/share/games/fortunes")
LIBRIVOX = Path("/usr/share/pocketsphinx/test/data/librivox/transcription")
SHELVES = (
    "literature", "wisdom", "work", "science", "people", "humorists", "food", "love", "cookie",
    "definitions", "education", "medicine", "law",
)  # fmt: skip

HEARD = st.lists(
    st.sampled_from(
        "the a of wrapper rapper retro hail cedar seater lever band bands draw draws um is oily "
        "Mars veins 5 half burn stake I get touch finish Nicaragua cold drawl gone light".split()
    ),
    max_size=14,
)


@given(st.lists(HEARD, max_size=4))
@settings(max_examples=60, deadline=None)
def test_laws_every_word_outside_a_repair_is_kept(rows: list[list[str]]) -> None:
    utterances = [Heard(float(i), i + 1.0, " ".join(row)) for i, row in enumerate(rows)]
    said, repairs = repair(utterances)
    assert [s.heard for s in said] == [u.text for u in utterances]
    for done in said:
        wanted = Counter(done.heard.lower().split())
        for told in (r for r in repairs if r.utterance == done.id and r.applied):
            wanted.subtract(told.heard.lower().split())
            wanted.update(told.meant.lower().split())
        assert +wanted == Counter(done.said.lower().split())
        assert min(wanted.values(), default=0) >= 0


@given(HEARD)
@settings(max_examples=60, deadline=None)
def test_laws_word_times_stay_in_order_and_in_their_utterance(row: list[str]) -> None:
    timed = tuple(Word(w, float(i), i + 0.8, 0.7) for i, w in enumerate(row))
    (done,), _ = repair([Heard(0.0, float(len(row)), " ".join(row), timed)])
    starts = [w.start for w in done.words]
    assert starts == sorted(starts)
    assert [w.text for w in done.words] == done.said.split()
    assert all(0 <= w.start <= w.end <= len(row) for w in done.words)


def test_laws_the_same_input_gives_the_same_output() -> None:
    rows = [Heard(0, 1, "The rapper is oily."), Heard(1, 2, "I get seater and lever.")]
    assert repair(rows) == repair(rows)


@pytest.mark.slow
def test_laws_correct_reviews_are_left_alone() -> None:
    """The labelled texts, which hold no mis-hearing: at most one wrong repair in 1,000 words."""
    said = [Heard(float(i), i + 1.0, t) for i, t in enumerate(texts(FOLDERS))]
    _, repairs = repair(said)
    wrong = [r for r in repairs if r.applied]
    assert len(wrong) <= sum(len(u.text.split()) for u in said) / 1000, wrong


def test_laws_nine_thousand_words_take_about_a_second() -> None:
    """A long session. Processor time, with room for a busy machine; loading apart."""
    words, said = 0, []
    for i, text in enumerate(texts(FOLDERS)):
        words += len(text.split())
        if words > 9_000:
            break
        said.append(Heard(float(i), i + 1.0, text))
    repair(said[:1])
    began = time.process_time()
    repair(said)
    assert time.process_time() - began < 4.0


@pytest.mark.slow
def test_laws_general_english_is_left_alone() -> None:
    """Fifty thousand words of quotations (Debian package fortunes): one false repair in 5,000."""
    need(PROSE.is_dir(), "the Debian package fortunes")
    said: list[Heard] = []
    words = 0
    for shelf in SHELVES:
        text = (PROSE / shelf).read_text(encoding="utf-8", errors="ignore")
        for sentence in re.split(r"\n%\n|(?<=[.!?])\s+", text):
            said.append(Heard(float(len(said)), len(said) + 1.0, " ".join(sentence.split())))
            words += len(sentence.split())
    assert words > 50_000
    _, repairs = repair(said)
    wrong = [r for r in repairs if r.applied]
    assert len(wrong) <= words / 5000, wrong


@pytest.mark.slow
def test_laws_what_readers_of_novels_say_is_left_alone() -> None:
    """LibriVox sentences with their transcripts (Debian package pocketsphinx-testdata)."""
    if not LIBRIVOX.is_file():
        pytest.skip("needs the Debian package pocketsphinx-testdata")
    lines = [re.sub(r"</?s>|\(.*\)$", "", x) for x in LIBRIVOX.read_text().splitlines()]
    said, repairs = repair([Heard(float(i), i + 1.0, t.strip()) for i, t in enumerate(lines)])
    assert repairs == ()
    assert [s.said for s in said] == [t.strip() for t in lines]
