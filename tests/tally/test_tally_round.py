"""The law of the round trip: what is typed is read back, and nothing else changes."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml
from ashdraft.export import read_notes
from ashdraft.output import open_folder
from ashdraft.sheet import SheetDefinition, load_sheet
from ashdraft.tally import tally
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from .made import folder, shelf, type_marks, with_marks

SHEETS = (shelf(), load_sheet())
BLOCK = re.compile(rb"\[tally\]: .*?\[tallied\]: [^\r\n]*", re.S)
FRONT = re.compile(rb"^tally:.*(?:\r\n|\n)(?:[ ].*(?:\r\n|\n))*", re.M)
WORDS = st.text(st.sampled_from("aeiou lnrst*_`<&$'\"äß"), max_size=12)
LAWS = settings(
    max_examples=5, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@dataclass(frozen=True)
class Cell:
    typed: str
    mark: float | None
    dashed: bool


@st.composite
def cells(draw: st.DrawFn, sheet: SheetDefinition) -> Cell:
    scale = sheet.scale
    steps = round((scale.highest - scale.lowest) / scale.step)
    mark = scale.lowest + draw(st.integers(0, steps)) * scale.step
    behind = draw(st.sampled_from(["", " ok", ", slow at first", " *no* nose", " “so so”"]))
    kind = draw(st.sampled_from(["mark", "mark", "dash", "blank"]))
    if kind == "mark":
        return Cell(f"{mark:g}{behind}", mark, False)
    if kind == "dash":
        return Cell(draw(st.sampled_from("-–—−")) + behind.lstrip(","), None, True)
    return Cell("", None, False)


@st.composite
def typed(draw: st.DrawFn) -> tuple[SheetDefinition, dict[str, Cell]]:
    sheet = draw(st.sampled_from(SHEETS))
    return sheet, {row.name: draw(cells(sheet)) for row in sheet.rows}


def rest(data: bytes) -> bytes:
    """A draft without what is the tally's."""
    return FRONT.sub(b"", BLOCK.sub(b"", data, count=1), count=1)


@LAWS
@given(
    drawn=typed(),
    crlf=st.booleans(),
    mark=st.booleans(),
    last=st.sampled_from([b"", b"\n", b"\n\n\n", b"\r\n", b"\nMy last line"]),
    words=WORDS,
)
def test_round_trip(
    drawn: tuple[SheetDefinition, dict[str, Cell]],
    crlf: bool,
    mark: bool,
    last: bytes,
    words: str,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    sheet, marks = drawn
    path = folder(tmp_path_factory.mktemp("round") / "s", sheet)
    type_marks(path, {name: cell.typed for name, cell in marks.items()})
    data = path.read_bytes().rstrip(b"\n") + last
    data = data.replace(b"## Verdict", b"## Verdict\n\n" + words.encode())
    if crlf:
        data = data.replace(b"\r\n", b"\n").replace(b"\n", b"\r\n")
    path.write_bytes((b"\xef\xbb\xbf" if mark else b"") + data)
    before = path.read_bytes()

    done = tally(path)
    after = path.read_bytes()

    assert rest(after) == rest(before)
    assert (b"\r" in after) == (b"\r" in before)
    if crlf:
        assert not re.search(rb"(?<!\r)\n", after)
    kept = read_notes(path.with_name("notes.json").read_text("utf-8")).sheet
    assert kept == done.sheet
    assert kept is not None
    rows = {row.id: row for row in sheet.rows}
    assert {rows[r.id].name: r.mark for r in kept.rows} == {n: c.mark for n, c in marks.items()}
    blank = [n for n, c in marks.items() if c.mark is None and not c.dashed]
    assert [rows[name].name for name in kept.unmarked] == blank
    assert (kept.total is None) == bool(blank or all(c.mark is None for c in marks.values()))

    notes = path.with_name("notes.json").read_bytes()
    again = tally(path)
    assert not again.changed
    assert (path.read_bytes(), path.with_name("notes.json").read_bytes()) == (after, notes)
    assert again.sheet == done.sheet


@LAWS
@given(first=typed(), data=st.data())
def test_marks_changed_give_the_same_as_marks_typed_at_once(
    first: tuple[SheetDefinition, dict[str, Cell]],
    data: st.DataObject,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    sheet, marks = first
    later = {row.name: data.draw(cells(sheet)).typed for row in sheet.rows}
    twice = folder(tmp_path_factory.mktemp("a") / "s", sheet)
    type_marks(twice, {name: cell.typed for name, cell in marks.items()})
    tally(twice)
    type_marks(twice, later)
    tally(twice)
    once = folder(tmp_path_factory.mktemp("b") / "s", sheet)
    type_marks(once, later)
    tally(once)
    assert twice.read_bytes() == once.read_bytes()
    assert twice.with_name("notes.json").read_bytes() == once.with_name("notes.json").read_bytes()


def test_tally_changes_only_the_sheet_in_the_notes(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    before = json.loads(path.with_name("notes.json").read_text("utf-8"))
    type_marks(path, {"Taste": "4.5 good"})
    tally(path)
    after = json.loads(path.with_name("notes.json").read_text("utf-8"))
    sheet = after.pop("sheet")
    assert after == before
    assert sheet["rows"][2] == {"id": "taste", "section": "smoke", "mark": 4.5, "comment": "good"}
    assert sheet["sections"][1] == {"id": "smoke", "total": 4.5, "weight_marked": 40}
    assert (sheet["total"], sheet["unmarked"]) == (None, ["wrapper", "roll", "finish", "trouble"])


@pytest.mark.parametrize("cell", ["**4**", "`4`", "4 \\| so-so", "&#52;", "_4_ so", "[4](#)"])
def test_mark_in_markdown_is_read_as_it_is_shown(tmp_path: Path, cell: str) -> None:
    path = folder(tmp_path / "s", shelf())
    row = "| Smoke | Taste | 40 |  |"
    text = path.read_text("utf-8")
    assert row in text
    path.write_text(text.replace(row, f"| Smoke | Taste | 40 | {cell} |"), encoding="utf-8")
    assert {r.id: r.mark for r in tally(path).sheet.rows}["taste"] == 4


def test_rows_may_stand_in_another_order_and_in_wider_cells(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Taste": "4", "Wrapper": "2"})
    lines = path.read_text("utf-8").split("\n")
    rows = [n for n, x in enumerate(lines) if x.startswith(("| Look", "| Smoke", "| Burn |"))]
    turned = [lines[n].replace(" | ", "   |   ") for n in reversed(rows)]
    for n, line in zip(rows, turned, strict=True):
        lines[n] = line
    path.write_text("\n".join(lines), encoding="utf-8")
    marks = {row.id: row.mark for row in tally(path).sheet.rows}
    assert (marks["taste"], marks["wrapper"], marks["roll"]) == (4, 2, None)


def test_block_and_front_matter_that_were_deleted_are_dealt_with(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Taste": "4"})
    tally(path)
    whole = path.read_bytes()
    path.write_bytes(BLOCK.sub(b"", whole).replace(b"\n\n\n\n", b"\n\n"))
    tally(path)
    assert BLOCK.findall(path.read_bytes()) == BLOCK.findall(whole)
    path.write_bytes(path.read_bytes().split(b"\n---\n", 1)[1])
    before = rest(path.read_bytes())
    tally(path)
    assert rest(path.read_bytes()) == before
    assert not path.read_bytes().startswith(b"---")


def test_markers_are_shown_by_no_renderer(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Taste": "4"})
    tally(path)
    body = path.read_text("utf-8").split("\n---\n", 1)[1]
    for preset in ("commonmark", "js-default"):
        page = MarkdownIt(preset).render(body)
        assert "tallied" not in page
        assert "Total of" in page


def test_front_matter_is_kept_and_read_by_yaml(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Wrapper": "4.5", "Roll": "3", "Taste": "4", "Finish": "-", "Trouble": "2"})
    mine = "draft: true  # mine\nmine: [1,  2]\n"
    own = path.read_text("utf-8").replace("draft: true\n", mine, 1)
    path.write_text(own, encoding="utf-8")
    tally(path)
    written = path.read_text("utf-8")
    assert mine in written
    front = yaml.safe_load(written.split("\n---\n", 1)[0])
    assert front["tally"] == {
        "sheet": "Shelf sheet", "marked": 4, "not_judged": 1, "rows": 5, "total": 3.5,
    }  # fmt: skip


@pytest.mark.parametrize("new", ["\n\n  marked: 9\n", " # mine\n", "\n    - x\n"])
def test_key_of_the_tally_that_was_edited_is_written_anew(tmp_path: Path, new: str) -> None:
    path = folder(tmp_path / "s", shelf())
    tally(path)
    first = path.read_bytes()
    path.write_bytes(first.replace(b"\n  rows: 5\n", f"\n  rows: 5{new}".encode()))
    tally(path)
    assert path.read_bytes() == first


def test_old_line_ends_and_links_are_kept(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r"))
    elsewhere = path.rename(tmp_path / "there.md")
    path.symlink_to(elsewhere)
    tally(path)
    assert b"\n" not in elsewhere.read_bytes()
    assert b"[tallied]" in elsewhere.read_bytes()
    assert path.is_symlink()


def test_write_puts_a_new_draft_beside_marks_typed_or_tallied(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    fresh = path.read_text("utf-8")
    type_marks(path, {"Taste": "4"})
    for step in (lambda: None, lambda: tally(path), lambda: tally(path)):
        step()
        marked = path.read_bytes()
        with open_folder(path.parent) as out:
            (written,) = out.write({"draft.md": fresh})
        assert written.path.name == "draft.new.md"
        assert path.read_bytes() == marked


def test_new_draft_beside_has_a_tally_of_its_own(tmp_path: Path) -> None:
    path = folder(tmp_path / "s", shelf())
    type_marks(path, {"Taste": "4"})
    tally(path)
    beside = folder(tmp_path / "s", shelf())
    assert beside.name == "draft.new.md"
    type_marks(beside, {"Taste": "2"})
    assert tally(beside).notes.name == "notes.new.json"
    assert read_notes(path.with_name("notes.json").read_text("utf-8")).sheet == tally(path).sheet


def test_helper_types_where_the_table_is() -> None:
    row = "| Smoke | Taste | 40 |  | x |"
    assert with_marks(row, {"Taste": "4"}) == "| Smoke | Taste | 40 | 4 | x |"
