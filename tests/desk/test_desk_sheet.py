"""The score sheet as a form over the table of the draft: both ways, and nothing else touched."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from ashdraft.assemble.score import HEAD
from ashdraft.desk.marks import Cell, carried, read_cells, with_mark
from ashdraft.errors import DataDamaged
from ashdraft.export import read_notes
from ashdraft.sheet import load_sheet
from ashdraft.tally import tally
from ashdraft.tally.marks import Unread
from ashdraft.tally.text import read
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.desk.made import notes
from tests.desk.pages import Page, page
from tests.page.made import draft_of

SHEET = load_sheet()
DRAFT = read("draft.md", draft_of(notes()).encode())


@pytest.fixture
def desk(tmp_path: Path) -> Page:
    return page(tmp_path, notes())


def _mark(desk: Page, row: str, mark: str, comment: str = "", was: Cell | None = None) -> Any:
    was = was or Cell("", "")
    body = {
        "row": row, "mark": mark, "comment": comment,
        "was_mark": was.mark, "was_comment": was.comment,
    }  # fmt: skip
    return desk.client.post(f"{desk.base}/mark", json=body).json()


def test_boxes_start_empty_and_no_sum_is_in_sight(desk: Page) -> None:
    """Acceptance tests 22 and 24 of the practitioners' list: empty boxes, three states."""
    shown = desk.get("/sheet").text
    marks = re.findall(r'<input name="mark"[^>]*>', shown)
    assert len(marks) == len(SHEET.rows)
    assert all('value=""' in mark for mark in marks)
    assert "range" not in shown
    assert re.search(r'<div id="total" role="status"></div>', shown)
    assert "Not mentioned." in shown


def test_a_mark_goes_into_its_cell_and_nowhere_else(desk: Page) -> None:
    before = desk.draft
    done = _mark(desk, "balance", "7", "just about | so")
    assert done == {
        "cell": {"mark": "7", "comment": "just about | so"}, "complaint": "", "changed": False,
    }  # fmt: skip
    changed = [
        (a, b) for a, b in zip(before.split("\n"), desk.draft.split("\n"), strict=True) if a != b
    ]
    ((_, line),) = changed
    assert line.startswith("| Palate | Balance | 8 | 7 just about \\| so |")
    assert 'value="7"' in desk.get("/sheet").text
    assert tally(desk.folder).standing.typed["balance"].mark == 7


def test_a_mark_typed_in_an_editor_is_shown_and_one_changed_there_is_not_written_over(
    desk: Page,
) -> None:
    typed = desk.draft.replace("| Palate | Balance | 8 |  |", "| Palate | Balance | 8 | 6 |")
    (desk.folder / "draft.md").write_text(typed, "utf-8")
    assert 'value="6"' in desk.get("/sheet").text
    done = _mark(desk, "balance", "7")
    assert (done["cell"]["mark"], done["changed"]) == ("6", True)
    assert desk.draft == typed


@pytest.mark.parametrize(("mark", "comment"), [("10", ""), ("7,5", ""), ("x", ""), ("7", "/ 9")])
def test_what_is_no_mark_is_refused_with_what_to_type(desk: Page, mark: str, comment: str) -> None:
    before = desk.draft
    done = _mark(desk, "balance", mark, comment)
    assert "Type" in done["complaint"]
    assert desk.draft == before


@pytest.mark.parametrize("body", [{}, {"row": "balance"}, {"row": "nothing", "mark": "7"}])
def test_what_is_no_box_is_refused(desk: Page, body: dict[str, str]) -> None:
    full = {"mark": "7", "comment": "", "was_mark": "", "was_comment": ""} if "mark" in body else {}
    assert desk.client.post(f"{desk.base}/mark", json={**full, **body}).status_code == 400


def test_sums_come_when_asked_for_and_outlive_a_change(desk: Page) -> None:
    _mark(desk, "balance", "7")
    _mark(desk, "draw", "-")
    assert "Total" not in (desk.folder / "draft.md").read_text("utf-8").split("[tally]: ")[0]
    told = desk.client.post(f"{desk.base}/total", json={}).json()["total"]
    assert "7.00" in told
    marked = read_notes((desk.folder / "notes.json").read_text("utf-8")).sheet
    assert marked is not None
    desk.change("correct", 5, was="gentle", now="sudden", nth=0)
    pane = desk.get("/pane").json()
    assert (pane["file"], pane["edited"]) == ("draft.md", False)
    assert "| Palate | Balance | 8 | 7 |" in desk.draft
    assert "7.00" in desk.draft
    assert "A sudden end." in desk.draft


def test_evidence_has_the_seconds_that_play_it(desk: Page) -> None:
    shown = html.unescape(desk.get("/sheet").text)
    row = shown[shown.index('data-row="burn-line"') :]
    assert re.search(r'1 touch-up \(first third 1\) <a class="t" [^>]*data-start="12.0"', row)


def test_a_damaged_table_says_what_to_mend(desk: Page) -> None:
    text = desk.draft.replace(f"| {' | '.join(HEAD)} |", "| Section | Criterion | Mark |")
    (desk.folder / "draft.md").write_text(text, "utf-8")
    answer = desk.get("/sheet")
    assert answer.status_code == 503
    assert "draft.md, line" in answer.text


ROWS = st.sampled_from([row.id for row in SHEET.rows])
WORDS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12)


@settings(max_examples=25, deadline=None)
@given(ROWS, st.sampled_from(["", "1", "9", "-"]), WORDS)
def test_any_box_is_read_back_and_carried_to_another_draft(row: str, mark: str, words: str) -> None:
    """What can be written is read back; put over a new draft it gives the same table."""
    try:
        made = with_mark(DRAFT, SHEET, row, Cell(mark, words if mark else ""))
    except (Unread, DataDamaged):
        return
    assert read_cells(made, SHEET)[row].mark == mark
    others = {k: c for k, c in read_cells(made, SHEET).items() if k != row}
    assert others == {k: c for k, c in read_cells(DRAFT, SHEET).items() if k != row}
    assert carried(DRAFT, made, DRAFT, SHEET).data == made.data
