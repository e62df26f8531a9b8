"""Taps beside what was said: the voice has the word, a tap fills in, differences are listed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from ashdraft.assemble import draft
from ashdraft.export import notes_json, read_notes, validate
from ashdraft.model import Count, Event, Notes, Timing
from ashdraft.sheet import fill, load_sheet
from ashdraft.table import log, taps_of, with_taps
from ashdraft.table.log import Tap, TapKind, Typed

from tests.table.made import ZERO, later, notes


def tapped(*taps: tuple[TapKind, float], words: str = "") -> log.Log:
    typed = (Typed(words, later(60)),) if words else ()
    return log.Log(ZERO, None, tuple(Tap(kind, later(at)) for kind, at in taps), typed)


def told(made: Notes) -> list[str]:
    return [check.message for check in made.checks]


def test_what_nobody_said_is_counted_from_taps() -> None:
    made = with_taps(
        notes(timing=Timing(lit=60.0, second_third=1800.0, final_third=3600.0)),
        tapped(("touch-up", 700), ("touch-up", 2000), ("touch-up", 4000)),
    )
    assert made.reading.touch_ups == Count(3, (1, 1, 1), ())
    assert made.reading.relights == Count(0, (0, 0, 0), ())
    assert [(tap.kind, tap.basis, tap.third, tap.utterance) for tap in made.taps] == [
        ("touch-up", "tapped", third, None) for third in (1, 2, 3)
    ]
    (message,) = told(made)
    assert "3 touch-ups counted from your taps (at 11:40, 33:20, 1:06:40)" in message


def test_what_was_said_stands_against_taps() -> None:
    said = Count(1, (1, 0, 0), (0,))
    made = with_taps(notes(touch_ups=said), tapped(("touch-up", 700), ("touch-up", 800)))
    assert made.reading.touch_ups == said
    assert told(made) == ["2 touch-ups tapped (at 11:40, 13:20) and 1 said; what was said is used."]


def test_a_spoken_none_stands_against_taps() -> None:
    none = Count(0, (0, 0, 0), (0,))
    made = with_taps(notes(relights=none), tapped(("relight", 700)))
    assert made.reading.relights == none
    assert "1 relight tapped (at 11:40) and 0 said" in told(made)[0]


def test_agreement_needs_no_check_and_fills_the_thirds() -> None:
    timing = Timing(second_third=1800.0, final_third=3600.0)
    said = Count(2, (1, 0, 0), (0,))
    made = with_taps(
        notes(touch_ups=said, timing=timing), tapped(("touch-up", 700), ("touch-up", 2000))
    )
    assert made.reading.touch_ups == Count(2, (1, 1, 0), (0,))
    assert told(made) == []


def test_who_taps_nothing_is_not_asked() -> None:
    """Voice alone works: a count without taps is no difference."""
    said = Count(2, (2, 0, 0), (0,))
    made = with_taps(notes(touch_ups=said), tapped(("ash-drop", 50)))
    assert made.reading.touch_ups == said
    assert told(made) == []


def test_thirds_are_timed_by_taps_where_nobody_said_them() -> None:
    made = with_taps(
        notes(timing=Timing(lit=60.0)),
        tapped(("next-third", 1800), ("next-third", 3500), ("put-down", 5300)),
    )
    assert made.reading.timing == Timing(60.0, 1800.0, 3500.0, 5300.0)
    assert told(made) == []
    assert [tap.kind for tap in made.taps] == ["second-third", "final-third", "put-down"]


def test_thirds_that_were_said_elsewhere_are_listed() -> None:
    spoken = Timing(lit=60.0, second_third=1800.0)
    made = with_taps(notes(timing=spoken), tapped(("next-third", 2400)))
    assert made.reading.timing == spoken
    assert "began at 30:00 by what was said and at 40:00 by your tap" in told(made)[0]
    near = with_taps(notes(timing=spoken), tapped(("next-third", 1850)))
    assert told(near) == []


def test_taps_out_of_order_fill_no_time() -> None:
    spoken = Timing(lit=600.0, final_third=3600.0)
    made = with_taps(notes(timing=spoken), tapped(("next-third", 4000)))
    assert made.reading.timing == spoken
    assert any("do not fit" in message for message in told(made))


@pytest.mark.parametrize(("at", "third"), [(100, None), (2000, None)])
def test_a_third_that_is_not_known_is_not_guessed(at: float, third: None) -> None:
    made = with_taps(notes(), tapped(("relight", at)))
    assert made.taps[0].third is third
    assert made.reading.relights.by_third == (0, 0, 0)


def test_a_tap_finds_the_sentence_of_the_same_event() -> None:
    event = Event("touch-up", 1, 0, 5.0)
    made = with_taps(notes([event], touch_ups=Count(1, (1, 0, 0), (0,))), tapped(("touch-up", 9)))
    assert made.taps[0].utterance == 0
    assert made.reading.events == (event,)


def test_typed_words_become_the_note_and_a_given_one_wins() -> None:
    made = with_taps(notes(), tapped(words="cap  cracked"))
    assert made.typed_facts == {"note": "cap cracked (1:00)"}


def test_notes_keep_taps_and_the_draft_shows_them() -> None:
    made = with_taps(notes(), tapped(("touch-up", 700), ("put-down", 5000)))
    text = notes_json(made)
    validate(json.loads(text))
    assert read_notes(text).taps == made.taps
    shown = draft(made, fill(load_sheet(), made.reading), caution=True)
    assert "| Touch-ups |" in shown
    assert "1 touch-up counted from your taps" in shown
    assert '"taps"' not in notes_json(notes())


def test_the_log_survives_a_line_cut_short(tmp_path: Path) -> None:
    log.begin(tmp_path, ZERO, "0a" * 16)
    log.tap(tmp_path, "touch-up", later(10), 1)
    with (tmp_path / log.FILE).open("a") as file:
        file.write('{"moment": "2026-05-02T20:')  # killed while writing
    log.note(tmp_path, "cap cracked", later(20), 2)
    log.mark(tmp_path, "stop", later(30), 3)
    read = taps_of([tmp_path])
    assert read is not None
    assert read.key == "0a" * 16
    assert [tap.kind for tap in read.taps] == ["touch-up"]
    assert [note.text for note in read.notes] == ["cap cracked"]
    assert read.numbers == {1, 2, 3}
    assert read.stopped


@pytest.mark.parametrize(
    "text", ["", "{}", "[]", "null", '{"format": "other"}', "\0", "[" * 100000]
)
def test_what_is_no_log_is_none(tmp_path: Path, text: str) -> None:
    (tmp_path / log.FILE).write_text(text)
    assert log.read(tmp_path / log.FILE) is None
