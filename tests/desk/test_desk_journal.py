"""The journal: what each kind of change does to a reading, and that it outlives another run.

No outside standard says what these changes are to do; the expected values are those of
docs/desk.md. That the result is valid `notes.json` is checked with its published schema.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from ashdraft.desk.doubts import doubts
from ashdraft.desk.entry import KINDS, Anchor, Entry, checked, entry_of, line_of
from ashdraft.desk.journal import (
    FILE,
    append,
    applied,
    apply,
    read_journal,
    redoable,
    standing,
    undoable,
)
from ashdraft.desk.words import Words
from ashdraft.export import validate
from ashdraft.export.notes import to_document
from ashdraft.model import SECTIONS, Notes, Reading, Utterance
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.assemble import gold
from tests.desk.made import change, notes, said

FRESH = notes()
NOTE = {"polarity": "present", "source": "palate", "intensity": "plain", "family": "wood"}


def _at(made: Notes, n: int) -> Utterance:
    return made.reading.utterances[n]


def test_no_changes_leave_the_reading_as_it_is() -> None:
    assert apply(FRESH, ()) == FRESH


def test_a_correction_changes_what_is_said_and_never_what_was_heard() -> None:
    made = apply(FRESH, [change("correct", FRESH, 0, was="white pepper", now="hay", nth=0)])
    assert _at(made, 0).said == "It opens with hay."
    assert _at(made, 0).text == "It opens with hay."
    assert _at(made, 0).heard == _at(FRESH, 0).heard
    assert [d.term for d in made.reading.descriptors] == ["cedar", "pepper"]


def test_words_are_taken_out_and_whole_sentences_too() -> None:
    taken = apply(FRESH, [change("correct", FRESH, 0, was="white pepper", now="", nth=0)])
    assert _at(taken, 0).said == "It opens with."
    whole = [change("correct", taken, 0, was="It  opens with.", now="", nth=0)]
    assert (_at(apply(taken, whole), 0).said, _at(apply(taken, whole), 0).text) == ("", "")


def test_a_fact_out_of_a_corrected_sentence_is_asked_about() -> None:
    made = apply(FRESH, [change("correct", FRESH, 5, was="gentle", now="sudden", nth=0)])
    (check,) = [c for c in made.checks if c.kind == "fact"]
    assert "told the wrapper" in check.message
    assert check.utterances == (5,)
    assert made.reading.facts == FRESH.reading.facts


def test_a_correction_elsewhere_keeps_the_note_and_its_quotation_literal() -> None:
    made = apply(FRESH, [change("correct", FRESH, 1, was="There", now="Here", nth=0)])
    note = next(d for d in made.reading.descriptors if d.term == "cedar")
    assert note.quote in _at(made, 1).said


def test_a_repair_is_refused_accepted_or_typed_over() -> None:
    refused = apply(FRESH, [change("refuse", FRESH, 1, heard="seeder", meant="cedar")])
    assert _at(refused, 1).said == "There is seeder behind it."
    assert refused.repairs == ()
    assert not any(d.term == "cedar" for d in refused.reading.descriptors)
    accepted = applied(FRESH, [change("accept", FRESH, 1, heard="seeder", meant="cedar")])
    assert accepted.notes.repairs == FRESH.repairs
    assert [d.kind for d in doubts(accepted)] == ["hearing"]
    typed = applied(FRESH, [change("correct", FRESH, 1, was="cedar", now="clover", nth=0)])
    assert _at(typed.notes, 1).said == "There is clover behind it."
    assert [d.kind for d in doubts(typed)] == ["hearing"]


def test_a_suggestion_is_taken_or_dropped() -> None:
    only = replace(FRESH.repairs[0], applied=False, utterance=5, heard="gentle", meant="genteel")
    fresh = replace(FRESH, repairs=(only,), checks=())
    taken = apply(fresh, [change("accept", fresh, 5, heard="gentle", meant="genteel")])
    assert _at(taken, 5).said == "A genteel end."
    assert taken.repairs[0].applied
    dropped = apply(fresh, [change("refuse", fresh, 5, heard="gentle", meant="genteel")])
    assert _at(dropped, 5).said == "A gentle end."
    assert dropped.repairs == ()


def test_a_doubtful_hearing_is_right_or_a_guess_in_brackets() -> None:
    right = apply(FRESH, [change("accept", FRESH, 5, heard="gentle", meant="")])
    assert right.checks == ()
    assert _at(right, 5) == _at(FRESH, 5)
    guess = apply(FRESH, [change("refuse", FRESH, 5, heard="gentle", meant="")])
    assert _at(guess, 5).said == "A (gentle) end."
    assert [c.kind for c in guess.checks] == ["fact"]


def test_a_move_takes_notes_events_and_counts_along() -> None:
    made = apply(FRESH, [change("move", FRESH, 2, section="burn", third=3)])
    assert (_at(made, 2).third, _at(made, 2).third_basis) == (3, "said")
    assert made.reading.touch_ups.by_third == (0, 0, 1)
    assert made.reading.touch_ups.total == 1
    moved = apply(FRESH, [change("move", FRESH, 0, section="verdict", third=None)])
    assert (moved.reading.descriptors[0].section, moved.reading.descriptors[0].third) == (
        "verdict",
        None,
    )


def test_a_struck_sentence_states_nothing() -> None:
    made = apply(FRESH, [change("strike", FRESH, 2), change("strike", FRESH, 5)])
    assert (_at(made, 2).section, _at(made, 2).said) == ("aside", _at(FRESH, 2).said)
    assert made.reading.touch_ups.total == 0
    assert made.reading.touch_ups.utterances == ()
    assert made.reading.facts == {}
    assert made.checks == ()


def test_merge_and_split_are_each_others_reverse_but_for_the_place_of_the_cut() -> None:
    merged = apply(FRESH, [change("merge", FRESH, 0)])
    assert len(merged.reading.utterances) == len(FRESH.reading.utterances) - 1
    assert _at(merged, 0).said == "It opens with white pepper. There is cedar behind it."
    assert [d.utterance for d in merged.reading.descriptors] == [0, 0, 2]
    assert merged.reading.touch_ups.utterances == (1,)
    again = [
        change("merge", FRESH, 0),
        change("split", merged, 0, before="It opens with white pepper.", time=6.0),
    ]
    made = apply(FRESH, again)
    texts = [(u.heard, u.said, u.section) for u in made.reading.utterances]
    assert texts == [(u.heard, u.said, u.section) for u in FRESH.reading.utterances]
    assert [d.utterance for d in made.reading.descriptors] == [0, 1, 3]


def test_notes_are_added_changed_and_withdrawn() -> None:
    added = apply(FRESH, [change("note", FRESH, 5, term="hay", **NOTE)])
    assert added.reading.descriptors[-1].term == "hay"
    assert added.reading.descriptors[-1].utterance == 5
    old = {"old": "cedar", "old_polarity": "present"}
    other = apply(FRESH, [change("renote", FRESH, 1, **old, **NOTE | {"term": "cedar wood"})])
    assert other.reading.descriptors[1].term == "cedar wood"
    gone = apply(FRESH, [change("unnote", FRESH, 1, **old)])
    assert [d.term for d in gone.reading.descriptors] == ["white pepper", "pepper"]


def test_a_count_keeps_its_reason_and_both_numbers() -> None:
    fixed = change("count", FRESH, which="touch_ups", total=2, by_third=[1, 0, 1], reason="unheard")
    made = apply(FRESH, [fixed])
    assert (made.reading.touch_ups.total, made.reading.touch_ups.by_third) == (2, (1, 0, 1))
    (check,) = [c for c in made.checks if c.kind == "count"]
    assert "set to 2" in check.message
    assert "1 came out" in check.message
    assert "unheard" in check.message


def test_undo_and_redo_are_lines_too() -> None:
    strike, undo = change("strike", FRESH, 0), change("undo", FRESH, line=1)
    journal: list[Entry | None] = [strike, undo]
    assert standing(journal) == []
    assert apply(FRESH, journal) == FRESH
    assert (undoable(journal), redoable(journal)) == (None, 2)
    journal.append(change("undo", FRESH, line=2))
    assert standing(journal) == [1]
    assert (undoable(journal), redoable(journal)) == (1, None)
    journal[1:] = [undo, change("strike", FRESH, 1)]
    assert (undoable(journal), redoable(journal)) == (3, None)


def test_changes_find_their_sentence_after_another_run() -> None:
    """Other numbers, other times and a word heard otherwise; then a sentence that is gone."""
    journal = [change("move", FRESH, 3, section="verdict", third=None)]
    again = tuple(
        replace(u, id=n, start=u.start + 0.4, heard=u.heard.replace("pepper", "paper"))
        for n, u in enumerate(FRESH.reading.utterances[1:])
    )
    fresh = gold.notes(Reading("live", again))
    made = applied(fresh, journal)
    assert (made.lost, _at(made.notes, 2).section) == ((), "verdict")
    short = replace(fresh, reading=replace(fresh.reading, utterances=again[:2]))
    lost = applied(short, journal)
    assert lost.lost == (1,)
    assert any("line 1 (move)" in c.message for c in lost.notes.checks)


def test_a_word_time_stays_where_its_word_stays() -> None:
    made = apply(FRESH, [change("correct", FRESH, 0, was="white", now="very black", nth=0)])
    (first, *_) = Words(said(FRESH)).timed(made.reading.utterances)
    assert [w.text for w in first.words] == ["It", "opens", "with", "very", "black", "pepper."]
    assert [w.start for w in first.words] == pytest.approx([0, 0.5, 1, 1.5, 1.6778, 2], abs=0.01)


def test_lines_are_kept_as_they_are_and_a_torn_one_is_stepped_over(tmp_path: Path) -> None:
    entry = change("correct", FRESH, 0, was="white", now="black", nth=0)
    append(tmp_path, entry)
    before = (tmp_path / FILE).read_bytes()
    with (tmp_path / FILE).open("ab") as file:
        file.write(b'{"at": "2026-03-0')
    append(tmp_path, change("strike", FRESH, 1))
    assert (tmp_path / FILE).read_bytes().startswith(before)
    journal = read_journal(tmp_path)
    assert [e.do if e else None for e in journal] == ["correct", None, "strike"]
    assert journal[0] == entry
    assert read_journal(tmp_path / "none") == ()


@pytest.mark.parametrize(
    ("do", "given_"),
    [
        ("correct", {"was": "", "now": "x", "nth": 0}),
        ("correct", {"was": "x" * 20_001, "now": "x", "nth": 0}),
        ("move", {"section": "nowhere", "third": None}),
        ("move", {"section": "burn", "third": 4}),
        ("move", {"section": "burn", "third": True}),
        ("split", {"before": "x", "time": float("nan")}),
        ("note", {"term": "hay", **NOTE, "polarity": "maybe"}),
        ("fetch", {}),
    ],
)
def test_what_makes_no_sense_is_refused(do: str, given_: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        checked(do, "", Anchor(0, 1, "x"), given_)


@pytest.mark.parametrize("line", ["", "[]", "{}", "null", '{"do": "strike"}', "[" * 10_000])
def test_lines_that_make_no_sense_are_refused(line: str) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        entry_of(line)


words = st.sampled_from(["pepper", "white", "There", "it", "cedar", "seeder", "gentle", "a b", "("])
sentences = st.builds(
    lambda u, shift, heard: Anchor(
        max(0.0, u.start + shift), max(0.0, u.end + shift), heard or u.heard
    ),
    st.sampled_from(FRESH.reading.utterances),
    st.sampled_from([0.0, 0.3, -2.0, 100.0]),
    st.none() | words,
)
VALUES: dict[str, st.SearchStrategy[Any]] = {
    "was": words | st.sampled_from([u.said for u in FRESH.reading.utterances]),
    "now": words | st.just(""),
    "nth": st.integers(0, 1),
    "heard": words,
    "meant": words | st.just(""),
    "section": st.sampled_from(SECTIONS),
    "third": st.sampled_from([None, 1, 2, 3]),
    "before": words | st.sampled_from(["It opens", "There", "No pepper in"]),
    "time": st.floats(0, 40),
    "term": words,
    "family": st.just("wood"),
    "polarity": st.sampled_from(["present", "absent"]),
    "source": st.sampled_from(["palate", "finish"]),
    "intensity": st.sampled_from(["faint", "strong"]),
    "old": words,
    "old_polarity": st.sampled_from(["present", "absent"]),
    "which": st.sampled_from(["touch_ups", "relights"]),
    "total": st.integers(0, 4),
    "by_third": st.lists(st.integers(0, 2), min_size=3, max_size=3),
    "reason": st.just("so"),
    "line": st.integers(1, 8),
}


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    do = draw(st.sampled_from(sorted(KINDS)))
    row = {key: draw(VALUES[key]) for key in KINDS[do]}
    sentence = None if do in ("count", "undo") else draw(sentences)
    return checked(do, "", sentence, row)


@settings(deadline=None)
@given(st.lists(entries(), max_size=8))
def test_any_journal_gives_valid_notes_and_never_touches_what_was_heard(
    journal: list[Entry],
) -> None:
    made = applied(FRESH, journal)
    validate(json.loads(json.dumps(to_document(made.notes))))
    heard = " ".join(u.heard for u in made.notes.reading.utterances).split()
    assert heard == " ".join(u.heard for u in FRESH.reading.utterances).split()
    assert [u.id for u in made.notes.reading.utterances] == list(
        range(len(made.notes.reading.utterances))
    )
    assert applied(FRESH, journal) == made
    for descriptor in made.notes.reading.descriptors:
        assert descriptor.quote in made.notes.reading.utterances[descriptor.utterance].said


@settings(deadline=None)
@given(entries())
def test_a_line_holds_its_change(entry: Entry) -> None:
    again = entry_of(line_of(entry))
    assert (again.do, again.given) == (entry.do, entry.given)
    if entry.sentence and again.sentence:
        assert again.sentence.heard == entry.sentence.heard
        assert again.sentence.start == pytest.approx(entry.sentence.start, abs=0.001)
