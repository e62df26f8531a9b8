"""Where chapters begin: in the silence before a word, and on the video's time."""

from __future__ import annotations

from itertools import pairwise

import pytest
from ashdraft.chapters import Entry, Video, closed, description, entries, on_video, placed
from ashdraft.model import Chapter, Recording, Said, Word
from hypothesis import given, settings
from hypothesis import strategies as st


def said(*utterances: list[tuple[float, float]]) -> list[Said]:
    return [
        Said(i, words[0][0], words[-1][1], "w", "w", "w", tuple(Word("w", *w) for w in words))
        for i, words in enumerate(utterances)
    ]


def starts(spoken: list[Said], *more: Recording) -> list[int]:
    chapters = [Chapter(u.start, f"T{u.id}", "burn", None) for u in spoken]
    return [e.start for e in entries(chapters, spoken, more)]


@pytest.mark.parametrize(
    ("before", "first", "start"),
    [
        (1.0, 9.0, 8_600),  # a long silence: 0.4 s ahead
        (8.8, 9.0, 8_900),  # a short one: its middle
        (9.0, 9.0, 9_000),  # none
        (9.2, 9.0, 9_000),  # spoken over
    ],
)
def test_chapter_begins_at_the_breath(before: float, first: float, start: int) -> None:
    assert starts(said([(0.5, before)], [(first, first + 1)]))[1] == start


def test_first_word_and_not_the_utterance_counts() -> None:
    """A recogniser's utterance may be wider than its words."""
    one = Said(0, 0.0, 4.0, "w", "w", "w", (Word("w", 0.5, 3.0),))
    two = Said(1, 4.0, 9.0, "w", "w", "w", (Word("w", 5.0, 8.0),))
    assert starts([one, two]) == [250, 4_600]


def test_utterance_times_where_no_words_are_known() -> None:
    spoken = [Said(0, 1.0, 3.0, "w", "w", "w"), Said(1, 3.2, 5.0, "w", "w", "w")]
    assert starts(spoken) == [600, 3_100]


def test_chapter_stays_in_its_recording() -> None:
    clips = [Recording("a", "", 0, 5), Recording("b", "", 60, 5)]
    assert starts(said([(1, 2)], [(60.1, 61)]), *clips) == [600, 60_000]


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 900), st.integers(1, 900)), min_size=1, max_size=40))
def test_never_inside_a_word(steps: list[tuple[int, int]]) -> None:
    words, at = [], 0
    for gap, length in steps:
        words.append(((at + gap) / 1000, (at + gap + length) / 1000))
        at += gap + length
    spoken = said(*([w] for w in words))
    found = starts(spoken)
    spans = [(round(a * 1000), round(b * 1000)) for a, b in words]
    assert not [s for s in found if any(a < s < b for a, b in spans)]
    assert all(0 <= a - s <= 400 for s, (a, _) in zip(found, spans, strict=True))


TWO = [Recording("a.m4a", "1" * 64, 0, 100), Recording("b.m4a", "2" * 64, 160, 50)]
FOUND = [Entry(2_000, "A"), Entry(50_000, "B"), Entry(170_000, "C")]


def test_time_between_recordings_is_not_in_the_video() -> None:
    assert [e.start for e in closed(FOUND, TWO)] == [2_000, 50_000, 110_000]
    made = placed(FOUND, TWO, (), Video())
    assert (made.length, [e.start for e in made.entries]) == (150_000, [0, 50_000, 110_000])
    whole = placed(FOUND, TWO, (), Video(gaps=True))
    assert (whole.length, [e.start for e in whole.entries]) == (210_000, [0, 50_000, 170_000])


def test_one_clip_of_several_has_its_own_time() -> None:
    """What is talked about when it begins is its first chapter."""
    made = placed(FOUND, TWO, (), Video(clip=TWO[1], length=50_040))
    assert made.entries == (Entry(0, "B"), Entry(10_000, "C"))
    assert made.length == 50_040


@pytest.mark.parametrize(
    ("shift", "length", "found"),
    [
        (0, 200_000, [(0, "A"), (50_000, "B"), (170_000, "C")]),
        (72_000, 300_000, [(0, "Opening"), (74_000, "A"), (122_000, "B"), (242_000, "C")]),
        (7_999, 300_000, [(0, "A"), (57_999, "B"), (177_999, "C")]),
        (-60_000, 140_000, [(0, "B"), (110_000, "C")]),
        (0, 170_000, [(0, "A"), (50_000, "B")]),
        (-900_000, 50_000, [(0, "C")]),
        (900_000, 50_000, []),
        (-900_000, 0, []),
    ],
)
def test_video_time_is_what_counts(shift: int, length: int, found: list[tuple[int, str]]) -> None:
    made = on_video(FOUND, shift, length)
    assert [(e.start, e.title) for e in made.entries] == found


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.builds(Entry, st.integers(-(10**6), 10**7), st.just("T")), max_size=20),
    st.integers(-(10**7), 10**7),
    st.integers(0, 10**7),
    st.lists(st.tuples(st.integers(0, 10**4), st.integers(0, 10**4)), max_size=4),
)
def test_chapters_of_any_video_ascend_from_zero(
    found: list[Entry], shift: int, length: int, clips: list[tuple[int, int]]
) -> None:
    recordings = [Recording("x", "", float(a), float(b)) for a, b in clips]
    made = on_video(closed(found, recordings), shift, length)
    at = [e.start for e in made.entries]
    assert all(a < b for a, b in pairwise(at))
    assert at[:1] in ([], [0])
    assert all(s.end > s.start for s in made.spans())
    lines = description(made)
    assert lines.problem or len(lines.text.splitlines()) >= 3
