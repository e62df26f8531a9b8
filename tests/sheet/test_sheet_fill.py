"""Filling the sheet: evidence beside every row, a mark only where one was spoken for it."""

from __future__ import annotations

import pytest
from ashdraft.model import Count, Event, Mark, Timing
from ashdraft.sheet import FilledRow, fill, load_sheet
from hypothesis import given, settings
from hypothesis import strategies as st

from .made import note, reading, said

SHEET = load_sheet()


def row(name: str, **others: object) -> FilledRow:
    filled = fill(SHEET, reading(**others))  # type: ignore[arg-type]
    return next(r for r in filled.rows if r.row.id == name)


def labels(filled: FilledRow) -> list[str]:
    return [e.label for e in filled.evidence if e.label]


def test_fill_of_nothing_has_no_mark_and_no_evidence() -> None:
    filled = fill(SHEET, reading())
    assert len(filled.rows) == len(SHEET.rows)
    assert all(r.mark is None and not r.evidence for r in filled.rows)
    assert not filled.unplaced


def test_fill_mark_on_the_sheets_own_scale_is_prefilled() -> None:
    filled = row("draw", utterances=[said(0, "Draw, eight of nine.", "burn")],
                 marks=(Mark("draw", 8, 9, 0),))  # fmt: skip
    assert filled.mark == 8
    assert filled.evidence[0].label == "said: 8 of 9"
    assert filled.evidence[0].at == (0.0,)


@pytest.mark.parametrize(
    ("value", "scale", "words"),
    [
        (8, 10, "said: 8 of 10"),
        (8, None, "said: 8, no scale named"),
        (4.5, 9, "said: 4.5 of 9"),
        (0, 9, "said: 0 of 9"),
        (85, 100, "said: 85 of 100"),
    ],
)
def test_fill_mark_on_another_scale_is_quoted_and_never_converted(
    value: float, scale: float | None, words: str
) -> None:
    filled = row("draw", utterances=[said(0, "x", "burn")], marks=(Mark("draw", value, scale, 0),))
    assert filled.mark is None
    assert words in labels(filled)


def test_fill_latest_mark_counts_and_earlier_ones_are_shown() -> None:
    filled = row(
        "draw",
        utterances=[said(0, "a", "burn"), said(1, "b", "burn")],
        marks=(Mark("draw", 8, 9, 1), Mark("draw", 7, 9, 0)),
    )
    assert filled.mark == 8
    assert labels(filled)[:2] == ["said: 8 of 9", "earlier: 7 of 9"]


def test_fill_mark_that_a_later_one_replaced_is_shown_with_its_time() -> None:
    filled = row(
        "draw",
        utterances=[said(0, "a", "burn", start=300.0), said(1, "b", "verdict", start=3000.0)],
        marks=(Mark("draw", 8, 9, 1),),
        earlier_marks=(Mark("draw", 7, 9, 0), Mark("burn", 5, 9, 0)),
    )
    assert filled.mark == 8
    shown = [(e.label, e.at) for e in filled.evidence if e.kind == "mark"]
    assert shown == [("said: 8 of 9", (3000.0,)), ("earlier: 7 of 9", (300.0,))]


def test_fill_mark_for_no_single_row_stays_beside_the_table() -> None:
    filled = fill(SHEET, reading([said(0, "x", "burn")], marks=(Mark("burn", 6, 9, 0),)))
    assert all(r.mark is None for r in filled.rows)
    assert [e.label for e in filled.unplaced] == ["said: burn 6 of 9"]


def test_fill_count_tells_thirds_and_times() -> None:
    filled = row(
        "burn-line",
        utterances=[said(0, "x", "burn", 1)],
        touch_ups=Count(3, (1, 1, 0), (0,)),
        events=(Event("touch-up", 1, 0, 12.0), Event("touch-up", 2, 0, 75.0)),
    )
    assert labels(filled) == ["3 touch-ups (first third 1, second third 1, in no named third 1)"]
    assert filled.evidence[0].at == (12.0, 75.0)


def test_fill_count_of_zero_is_said_or_absent_but_never_invented() -> None:
    said_none = row(
        "staying-alight",
        utterances=[said(0, "No relights.", "burn")],
        relights=Count(0, (0, 0, 0), (0,)),
    )
    assert "no relight, as said" in labels(said_none)
    assert row("staying-alight").evidence == ()


def test_fill_notes_stand_by_third_with_their_strength() -> None:
    filled = row(
        "definition",
        descriptors=(
            note("cedar", 1, 1, intensity="faint"),
            note("hay", 1, 2),
            note("cedar", 2, 3, polarity="absent"),
            note("cocoa", None, 4),
        ),
    )
    assert labels(filled) == [
        "first third: cedar (faint), hay",
        "second third: said not to be there: cedar",
        "of no one third: cocoa",
    ]


def test_fill_facts_and_times() -> None:
    filled = row(
        "smoke-heat",
        utterances=[said(0, "x", "burn")],
        facts={"smoking_minutes": 85},
        fact_evidence={"smoking_minutes": (0,)},
        timing=Timing(lit=61.0, put_down=5161.0),
    )
    assert labels(filled) == [
        "lit at 1:01; put down at 1:26:01",
        "said: smoking time 85 min",
    ]


def test_fill_quotes_only_the_topics_of_the_row() -> None:
    filled = row(
        "ash",
        utterances=[said(0, "Ash is white.", "burn", 1), said(1, "Draw is easy.", "burn", 1)],
    )
    assert [e.quote for e in filled.evidence] == ["Ash is white."]
    assert filled.evidence[0].at == (0.0,)


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["draw", "value", "burn", "overall", "finish", "looks"]),
            st.sampled_from([0, 1, 4.5, 7, 9, 10, 85]),
            st.sampled_from([None, 5, 9, 10, 100]),
        ),
        max_size=6,
    )
)
def test_fill_marks_are_spoken_ones_only(spoken: list[tuple[str, float, float | None]]) -> None:
    marks = tuple(Mark(i, v, s, n) for n, (i, v, s) in enumerate(spoken))
    utterances = [said(n, "x", "burn") for n in range(len(marks))]
    filled = fill(SHEET, reading(utterances, marks=marks))
    for r in filled.rows:
        if r.mark is not None:
            own = [m for m in marks if m.item in r.row.spoken]
            assert (r.mark, 9) == (own[-1].value, own[-1].scale)
