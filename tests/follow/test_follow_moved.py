"""What is said in the cut: moved, shortened, twice, or gone. Answers by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from ashdraft.assemble import read_times
from ashdraft.assemble.times import definitions, with_times
from ashdraft.export import notes_json, read_notes
from ashdraft.follow import Cut, Heard, Passage, Unknown, heard_in, left_out
from ashdraft.follow.notes import chapters_of_cut, notes_of_cut
from ashdraft.follow.report import cut_json, cut_txt
from ashdraft.model import (
    Chapter,
    Count,
    Descriptor,
    Event,
    MadeBy,
    Notes,
    Reading,
    Recording,
    Said,
    Timing,
    Utterance,
    Word,
)
from hypothesis import given, settings
from hypothesis import strategies as st

RAW = Recording("raw.wav", "a" * 64, 0.0, 100.0)
VIDEO = Recording("cut.mp4", "b" * 64, 0.0, 30.0)


def said(number: int, start: float, text: str) -> Said:
    """Return an utterance with one word a second, each half a second long."""
    words = tuple(Word(w, start + i, start + i + 0.5) for i, w in enumerate(text.split()))
    return Said(number, start, words[-1].end, text, text, text, words)


LINES = (
    said(0, 10, "The wrapper is dark."),
    said(1, 20, "It opens with cedar."),
    said(2, 30, "Now uh it is sweet."),
    said(3, 40, "I liked it."),
)


def cut(*spans: tuple[float, float, float], unknown: tuple[Unknown, ...] = ()) -> Cut:
    """Return a cut from `(start, end, second of the recording)`."""
    return Cut(VIDEO, tuple(Passage(a, b, 0, raw - a) for a, b, raw in spans), unknown)


def rows(heard: tuple[Heard, ...]) -> list[tuple[int, int, float, str]]:
    return [(h.said.id, h.origin, h.said.start, h.said.text) for h in heard]


def test_passages_in_another_order() -> None:
    heard = heard_in(cut((0, 6, 39), (6, 12, 19)), LINES)
    assert rows(heard) == [(3, 3, 1.0, "I liked it."), (1, 1, 7.0, "It opens with cedar.")]
    assert [w.start for w in heard[1].said.words] == [7, 8, 9, 10]
    assert all(h.whole for h in heard)
    assert [u.id for u in left_out(heard, LINES)] == [0, 2]


def test_a_passage_twice_has_another_id_the_second_time() -> None:
    heard = heard_in(cut((0, 6, 19), (10, 16, 19)), LINES)
    assert rows(heard) == [(1, 1, 1.0, LINES[1].text), (4, 1, 11.0, LINES[1].text)]


def test_half_a_sentence_is_half_a_sentence() -> None:
    (one,) = heard_in(cut((0, 3, 21.8)), LINES)
    assert (one.said.text, one.whole) == ("with cedar.", False)
    assert (one.said.start, one.said.end) == (0.2, 1.7)


def test_a_word_cut_out_leaves_one_sentence() -> None:
    (one,) = heard_in(cut((0, 1.7, 29), (1.7, 6, 31.8)), LINES)
    assert (one.said.id, one.said.text, one.whole) == (2, "Now it is sweet.", False)
    assert [round(w.start, 3) for w in one.said.words] == [1, 1.9, 2.9, 3.9]


def test_without_word_times_the_share_of_letters_decides() -> None:
    bare = [replace(u, words=()) for u in LINES]
    heard = heard_in(cut((0, 6, 19), (6, 8, 30)), bare)
    assert rows(heard)[0] == (1, 1, 1.0, "It opens with cedar.")
    assert heard[1].said.text.startswith("Now")
    assert not heard[1].whole


@st.composite
def any_cut(draw: st.DrawFn) -> Cut:
    at, spans = 0.0, []
    for _ in range(draw(st.integers(0, 6))):
        at += draw(st.floats(0, 3))
        length = draw(st.floats(0.4, 30))
        spans.append((at, at + length, draw(st.floats(0, 60))))
        at += length
    return cut(*spans)


@settings(max_examples=100)
@given(any_cut())
def test_nothing_is_said_that_was_not_said_and_nowhere_else(made: Cut) -> None:
    words = {u.id: u.text.split() for u in LINES}
    heard = heard_in(made, LINES)
    assert len({h.said.id for h in heard}) == len(heard)
    for one in heard:
        assert one.said.start <= one.said.end
        assert set(one.said.text.split()) <= set(words[one.origin])
        assert one.whole == (one.said.text.split() == words[one.origin])
        assert any(p.start - 0.5 <= one.said.start <= p.end + 0.5 for p in made.passages)


def test_a_word_at_the_joint_of_two_passages_is_said_once() -> None:
    (one,) = heard_in(cut((0, 2.2, 20), (2.2, 6, 22.2)), LINES)
    assert (one.said.text, one.whole) == (LINES[1].text, True)
    assert len(one.said.words) == 4


# --- notes, chapters, draft, report --------------------------------------------------------


def notes() -> Notes:
    utterances = tuple(
        Utterance(u.id, u.start, u.end, u.heard, u.said, u.text, "palate", 1, "said", 0.9)
        for u in LINES
    )
    note = Descriptor("cedar", "wood", "present", "palate", "plain", "palate", 1, 1, 23.0, "cedar")
    reading = Reading(
        "live",
        utterances,
        (note, replace(note, term="sugar", utterance=2, start=34.0)),
        (Event("lit", None, 0, 10.0), Event("touch-up", 1, 1, 20.0)),
        touch_ups=Count(2, (2, 0, 0), (0, 1)),
        timing=Timing(lit=10.0, second_third=30.5),
        chapters=(
            Chapter(9.6, "Looks", "appearance", None),
            Chapter(19.6, "First third: cedar", "palate", 1),
            Chapter(39.6, "Verdict", "verdict", None),
        ),
        facts={"ring_gauge": 46},
    )
    return Notes(MadeBy("0.1", "base", "x", "y"), (RAW,), reading)


def test_notes_of_the_cut_hold_what_is_in_it() -> None:
    whole, made = notes(), cut((0, 6, 39), (6, 12, 19))
    moved = notes_of_cut(whole, made, heard_in(made, LINES), whole.reading.chapters)
    again = read_notes(notes_json(moved))  # valid by the schema, and every id points somewhere
    assert again.recordings == (VIDEO,)
    assert [(u.id, u.start) for u in again.reading.utterances] == [(3, 1.0), (1, 7.0)]
    assert [(d.term, d.start) for d in again.reading.descriptors] == [("cedar", 10.0)]
    assert [(e.kind, e.start) for e in again.reading.events] == [("touch-up", 7.0)]
    assert again.reading.touch_ups == Count(2, (2, 0, 0), (1,))
    assert again.reading.timing == Timing()
    assert again.reading.facts["ring_gauge"] == 46


def test_chapters_follow_the_cut() -> None:
    whole, made = notes(), cut((0, 6, 39), (6, 12, 19), (12, 18, 29), (18, 24, 39), (24, 30, 9))
    found = chapters_of_cut(whole.reading.chapters, made, heard_in(made, LINES))
    assert [(c.start, c.title) for c in found] == [
        (0.6, "Verdict"),
        (6.6, "First third: cedar"),
        (18.6, "Verdict"),
        (24.6, "Looks"),
    ]


def test_a_chapter_begins_where_its_first_passage_does_when_its_opening_is_cut() -> None:
    made = cut((0, 4, 20.9), (4, 8, 39))
    found = chapters_of_cut(notes().reading.chapters, made, heard_in(made, LINES))
    assert [(c.start, c.title) for c in found] == [(0.0, "First third: cedar"), (4.6, "Verdict")]


def test_a_passage_that_runs_through_chapters_has_them_all() -> None:
    made = cut((2, 37, 9))
    found = chapters_of_cut(notes().reading.chapters, made, heard_in(made, LINES))
    assert [round(c.start, 3) for c in found] == [2.6, 12.6, 32.6]


def test_the_draft_keeps_its_words_and_changes_its_times() -> None:
    text = "\n".join(["## Palate", *(u.text for u in LINES), ""])
    draft = f"{text}\n{definitions(notes().reading.utterances)}\n"
    moved = with_times(draft, {1: (7.0, 10.5), 3: (1.0, 3.5)})
    assert moved.startswith(text)
    assert [(t.utterance, t.start, t.end, t.line) for t in read_times(moved)] == [
        (1, 7.0, 10.5, 3),
        (3, 1.0, 3.5, 5),
    ]
    with_all = {u.id: (u.start, u.end) for u in LINES}
    assert with_times(draft, with_all) == draft


def test_the_report_lists_what_is_unknown_and_what_is_gone() -> None:
    made = cut((0, 6, 39), (16, 22, 19), unknown=(Unknown(6, 16), Unknown(22, 30, pause=True)))
    heard = heard_in(made, LINES)
    document = json.loads(cut_json(notes(), made, heard, LINES))
    assert document["unknown"] == [
        {"start": 6, "end": 16, "pause": False},
        {"start": 22, "end": 30, "pause": True},
    ]
    assert document["left_out"] == [
        {"start": 10, "end": 13.5, "utterances": [0]},
        {"start": 30, "end": 34.5, "utterances": [2]},
    ]
    assert document["passages"][1] == {"start": 16, "end": 22, "from": 19, "recording": "raw.wav"}
    assert [(u["id"], u["start"]) for u in document["utterances"]] == [(3, 1), (1, 17)]
    text = cut_txt(notes(), made, heard, LINES)
    assert "    0:06 to     0:16\n" in text
    assert "    0:22 to     0:30  perhaps music over a pause\n" in text
    assert "    0:10 to     0:13  1 sentence\n" in text
    assert "    0:16 to     0:22  from raw.wav at 0:19\n" in text


@pytest.mark.parametrize("second", [19.0, 25.0, 18.9])
def test_seconds_lead_to_their_passage(second: float) -> None:
    made = cut((0, 6, 39), (6, 12, 19), (12, 18, 19))
    assert made.passage_of(second) == made.passages[1]
    assert made.passage_of(5.0) is None
