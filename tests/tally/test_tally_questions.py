"""Questions where a mark and the recording pull apart, and the one on how it was obtained."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
import yaml
from ashdraft.model import Count, Event, Reading
from ashdraft.sheet import load_sheet
from ashdraft.tally import tally
from ashdraft.tally.ask import questions
from ashdraft.tally.marks import Typed

from ..sheet.made import reading, said
from .made import folder, shelf, type_marks

SHEET = load_sheet()
TALK = (
    said(0, "First touch-up.", "burn", 1),
    said(1, "Second touch-up, the pull is tight.", "burn", 2),
    said(2, "Third touch-up, and it is out, so a relight.", "burn", 3),
)
TROUBLE = reading(
    TALK,
    events=tuple(Event("touch-up", u.third, u.id, u.start) for u in TALK),
    touch_ups=Count(3, (1, 1, 1), (0, 1, 2)),
    relights=Count(2, (0, 0, 2), (2,)),
)


def asked(made: Reading, **marks: int) -> list[str]:
    typed = {
        row.id: Typed(Fraction(marks[row.id.replace("-", "_")]))
        if row.id.replace("-", "_") in marks
        else Typed()
        for row in SHEET.rows
    }
    return [str(a) for a in questions(SHEET, typed, made)]


def test_top_mark_for_burn_beside_touch_ups_is_asked_about() -> None:
    # the case of the brief: a top mark for burn with three touch-ups and two relights
    found = asked(TROUBLE, burn_line=9)
    assert found[0] == (
        "Burn line is marked 9 beside 3 touch-ups (first third 1, second third 1, final third 1) "
        "(0:00, 0:10, 0:20). Did the line burn level without help?"
    )
    assert "and 2 relights (final third 2)" in found[1]


def test_same_mark_without_trouble_and_a_middling_one_with_it_are_not() -> None:
    calm = reading(TALK[:1], touch_ups=Count(1, (1, 0, 0), (0,)))
    assert asked(calm, burn_line=9) == []
    assert asked(TROUBLE, burn_line=6, staying_alight=5, draw=5) == []
    assert asked(TROUBLE) == []


def test_words_count_only_where_they_are_not_denied() -> None:
    tight = reading([said(0, "The draw is tight.", "burn", 1)])
    free = reading([said(0, "The draw is not tight.", "burn", 1)])
    assert len(asked(tight, draw=8)) == 1
    assert "“tight” (0:00)" in asked(tight, draw=8)[0]
    assert asked(free, draw=8) == []
    assert asked(tight, draw=5) == []


def test_count_of_which_nothing_was_said_is_no_zero() -> None:
    told = [said(0, "The burn line was wavy.", "burn", 1)]
    silent = reading(told)
    denied = reading(
        [*told, said(1, "I did not touch it up once.", "burn", 3)],
        touch_ups=Count(0, (0, 0, 0), (1,)),
    )
    assert asked(silent, burn_line=3) == []
    assert "no touch-up, as said" in asked(denied, burn_line=3)[0]


def test_high_and_low_marks_for_what_nothing_was_said_of() -> None:
    assert "nothing that was said about it" in asked(reading(), ash=9)[0]
    assert "so low" in asked(reading(), ash=1)[0]
    assert asked(reading(), ash=5) == []


def test_no_question_proposes_a_mark() -> None:
    assert not [q.ask for q in SHEET.questions if any(c.isdigit() for c in q.ask)]
    assert all(q.ask.endswith("?") for q in SHEET.questions)


def test_questions_stand_in_the_block_and_change_no_sum(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Trouble": "4.5"})
    done = tally(path)
    line = next(x for x in path.read_text("utf-8").split("\n") if x.startswith("- Question: Tr"))
    assert "2 touch-ups" in line
    assert "1 relight" in line
    bare = replace(shelf(), questions=())
    assert questions(bare, done.standing.typed, TROUBLE) == ()
    assert done.sheet.sections[2].total == 4.5


@pytest.mark.parametrize("kind", ["bought", "gifted", "sample"])
def test_how_it_was_obtained_is_asked_until_it_is_typed(tmp_path: Path, kind: str) -> None:
    path = folder(tmp_path / "s", shelf())
    text = path.read_text("utf-8").replace("disclosure: I paid $9.50 for it.\n", "")
    text = text.replace("*Said.*\n\nI paid $9.50 for it.", "*Not mentioned.*")
    assert "*Not mentioned.*" in text
    path.write_text(text, encoding="utf-8")
    tally(path)
    assert "- Question: How was the cigar obtained?" in path.read_text("utf-8")
    tally(path, obtained=kind)
    tally(path)
    written = path.read_text("utf-8")
    assert "- Question: How" not in written
    assert f"- Obtained: {kind}, as typed" in written
    assert f"## How it was obtained\n\n*Typed: {kind}.*\n" in written
    assert yaml.safe_load(written.split("\n---\n", 1)[0])["tally"]["obtained"] == kind
    assert not tally(path, obtained=kind).changed


def test_how_it_was_obtained_is_not_asked_where_it_was_said_or_typed(tmp_path: Path) -> None:
    said_so = folder(tmp_path / "a", shelf())
    assert tally(said_so).standing.obtained == "Obtained: as said at the front"
    typed = folder(tmp_path / "b", shelf(), obtained="sample")
    assert tally(typed).standing.obtained == "Obtained: sample, as typed"
