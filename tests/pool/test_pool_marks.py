"""Typed marks of several sticks, worked by hand in docs/pool.md."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import krippendorff
import pytest
from ashdraft.model import MarkedRow, MarkedSection
from ashdraft.pool.marks import pooled_sheets
from ashdraft.pool.pooled import pool
from ashdraft.pool.sheet import scores, sheet_page
from ashdraft.pool.sticks import read_sticks
from ashdraft.sheet import load_sheet
from ashdraft.tally import tally
from markdown_it import MarkdownIt

from .build import marked, stick

DRAW, ASH = "draw", "ash"


def test_marks_by_hand() -> None:
    rows = ({DRAW: 6.0, ASH: 5.0}, {DRAW: 7.0, ASH: None}, {DRAW: 9.0, ASH: 4.0})
    totals = (5.75, 7.0, 7.75)
    sticks = [
        stick(n, sheet=marked(row, total=total, sections=(MarkedSection("smoke", total, 4.0),)))
        for n, (row, total) in enumerate(zip(rows, totals, strict=True), 1)
    ]
    (sheet,) = pooled_sheets(sticks)
    draw, ash = sheet.criteria
    assert draw.summary is not None
    assert ash.summary is not None
    assert (draw.summary.median, draw.summary.lowest, draw.summary.highest) == (7, 6, 9)
    assert draw.summary.mean == pytest.approx(22 / 3)
    assert (ash.summary.n, ash.summary.median, ash.summary.mean) == (2, 4.5, 4.5)
    assert sheet.total is not None
    assert (sheet.total.n, sheet.total.median) == (3, 7)
    # from 6 5/6 it is -13, 2 and 11 twelfths: 169 + 4 + 121 = 294, half of 294/144 is 49/48
    assert sheet.total.spread == pytest.approx((49 / 48) ** 0.5)
    assert sheet.unmarked == {2: ("ash",)}


def test_a_stick_that_was_never_tallied_has_no_mark_and_no_zero() -> None:
    sticks = [stick(1, sheet=marked({DRAW: 8.0})), stick(2), stick(3, sheet=marked({DRAW: 6.0}))]
    (sheet,) = pooled_sheets(sticks)
    assert sheet.sticks == (1, 3)
    assert sheet.criteria[0].marks == {1: 8, 3: 6}
    found = pool(sticks)
    assert any("stick 2" in c.message and "not zero" in c.message for c in found.checks)
    text = sheet_page(found, "Ledger")
    assert "| smoke | draw | 8 | 6 | 7 | 7 | 6 to 8 | 2 |" in text


def test_blank_and_not_judged_are_told_apart() -> None:
    sticks = [
        stick(1, sheet=marked({DRAW: None, ASH: None}, unmarked=(ASH,))),
        stick(2, sheet=marked({DRAW: 4.0, ASH: 3.0})),
    ]
    text = scores(pool(sticks).groups[0])
    assert "| smoke | draw | not judged | 4 |  |  |  | 1 |" in text
    assert "| smoke | ash | blank | 3 |  |  |  | 1 |" in text


def test_sheets_of_two_names_are_never_pooled() -> None:
    sticks = [
        stick(1, sheet=marked({DRAW: 8.0})),
        stick(2, sheet=marked({DRAW: 80.0}, name="Shop sheet")),
    ]
    sheets = pooled_sheets(sticks)
    assert [(s.name, s.sticks) for s in sheets] == [("Shelf sheet", (1,)), ("Shop sheet", (2,))]


def test_names_of_sections_are_shown_as_they_were_typed() -> None:
    sections = (MarkedSection("<i>smoke & *ash*", 5.0, 4.0),)
    rows = (MarkedRow(DRAW, "<i>smoke & *ash*", 5.0),)
    found = pool([stick(n, sheet=marked({}, rows=rows, sections=sections)) for n in (1, 2)])
    page = MarkdownIt("commonmark").enable("table").render(scores(found.groups[0]))
    assert page.count("<td>&lt;i&gt;smoke &amp; *ash*") == 2


def test_one_stick_has_a_total_and_no_range_and_two_are_said_to_be_few() -> None:
    one = stick(1, sheet=marked({DRAW: 8.0}, total=8.0))
    shop = stick(2, sheet=marked({DRAW: 80.0}, total=80.0, name="Shop sheet"))
    text = scores(pool([one, shop]).groups[0])
    assert "- Overall total: 8 (n = 1)\n\n" in text
    two = scores(pool([one, replace(one, number=2)]).groups[0])
    assert "- Overall total: 8 to 8 (n = 2)\n- Of two sticks a mean says little" in two


def test_rows_have_the_names_and_order_of_their_definition() -> None:
    definition = load_sheet()
    ids = [row.id for row in definition.rows]
    sheet = marked(dict.fromkeys(reversed(ids), 5.0), name=definition.name)
    (pooled,) = pooled_sheets([stick(1, sheet=sheet)], definition)
    assert [c.id for c in pooled.criteria] == ids
    assert [c.name for c in pooled.criteria] == [row.name for row in definition.rows]
    assert [c.weight for c in pooled.criteria] == [row.weight for row in definition.rows]


def test_sheets_of_one_name_and_other_content_are_two() -> None:
    one = load_sheet()
    other = replace(one, text="another")
    sheet = marked({DRAW: 5.0}, name=one.name)
    sticks = [replace(stick(n, sheet=sheet), sheet=d) for n, d in enumerate((one, other, one), 1)]
    assert {s.sticks for s in pooled_sheets(sticks)} == {(1, 3), (2,)}
    unknown = [sticks[0], replace(sticks[1], sheet=None)]
    assert [s.sticks for s in pooled_sheets(unknown)] == [(1, 2)]


def test_marks_typed_into_drafts_arrive_in_the_pool(
    folders: tuple[Path, ...], tmp_path: Path
) -> None:
    given = {}
    for n, folder in enumerate(folders[:2], 1):
        copy = Path(shutil.copytree(folder, tmp_path / folder.name))
        draft = copy / "draft.md"
        lines = draft.read_text("utf-8").split("\n")
        for at, line in enumerate(lines):
            if row := re.match(r"\| [^|]+ \| ([^|]+) \| \d+ \|  \|", line):
                given[n, row[1]] = 1 + n * at % 9
                lines[at] = f"{row[0][:-2]}{given[n, row[1]]} |{line[row.end() :]}"
        draft.write_text("\n".join(lines), "utf-8")
        tally(copy)
    names = [str(tmp_path / folder.name) for folder in folders[:2]]
    (sheet,) = pool(read_sticks(names)).groups[0].sheets
    assert len(sheet.criteria) == len(load_sheet().rows)
    for criterion in sheet.criteria:
        assert criterion.marks == {n: given[n, criterion.name] for n in (1, 2)}
    assert sheet.total is not None
    assert sheet.total.n == 2
    # the weighted mean, by the formula of docs/sheet.md
    by_hand = sum(row.weight * given[1, row.name] for row in load_sheet().rows) / 100
    assert sheet.total.values[1] == pytest.approx(by_hand, abs=0.005)


def test_agreement_is_asked_of_two_reviewers_and_takes_each_ones_median() -> None:
    marks = ({DRAW: 6.0, ASH: 5.0, "heat": 2.0}, {DRAW: 8.0, ASH: 5.0, "heat": 3.0},
             {DRAW: 7.0, ASH: 6.0, "heat": 1.0})  # fmt: skip
    sticks = [stick(n, sheet=marked(row)) for n, row in enumerate(marks, 1)]
    assert pooled_sheets(sticks)[0].agreement is None
    named = [replace(s, reviewer="Ines" if s.number < 3 else "Odo") for s in sticks]
    found = pooled_sheets(named)[0].agreement
    assert found is not None
    assert (found.reviewers, found.criteria) == (("Ines", "Odo"), 3)
    # Ines: medians 7, 5, 2.5; Odo: 7, 6, 1
    theirs = krippendorff.alpha(
        reliability_data=[[7, 5, 2.5], [7, 6, 1]], level_of_measurement="ordinal"
    )
    assert found.alpha == pytest.approx(theirs)
