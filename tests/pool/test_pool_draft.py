"""The pooled draft of three whole sessions, from transcript to page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from ashdraft.assemble.markdown import plain
from ashdraft.export.notes import read_notes, with_sheet
from ashdraft.pool import pool, read_sticks, write_pool
from ashdraft.pool.draft import pooled_draft
from ashdraft.pool.sticks import Stick
from markdown_it import MarkdownIt

from .build import marked, note, stick


@pytest.fixture(scope="module")
def sticks(folders: tuple[Path, ...]) -> tuple[Stick, ...]:
    return read_sticks([f"{folders[0]}@Ines", f"{folders[1]}@Odo", str(folders[2])])


@pytest.fixture(scope="module")
def draft(sticks: tuple[Stick, ...]) -> str:
    return pooled_draft(pool(sticks), "Copperline Ledger", ["families.svg"], caution=True)


def part(text: str, heading: str) -> str:
    match = re.search(rf"^#+ {re.escape(heading)}$.*?(?=^## |^\[times|\Z)", text, re.M | re.S)
    assert match, heading
    return match[0]


def prose_lines(draft: str) -> Iterator[str]:
    """The plain lines: what is in no list, table, italics, heading or definition."""
    body = draft.split("\n---\n", 1)[1]
    for line in body.splitlines():
        if line and not re.match(r"[-|#!>\[]|\*.*\*$", line):
            yield plain(line)


def test_every_plain_line_is_a_sentence_of_a_reviewer(
    draft: str, sticks: tuple[Stick, ...]
) -> None:
    said = {u.text for stick in sticks for u in stick.reading.utterances}
    lines = list(prose_lines(draft))
    assert len(lines) > 40
    assert [line for line in lines if line not in said] == []


def test_no_sentence_is_lost_or_printed_twice(draft: str, sticks: tuple[Stick, ...]) -> None:
    body = plain(draft.split("\n---\n", 1)[1].split("[times]")[0])
    for one in sticks:
        for u in one.reading.utterances:
            if u.section != "aside":
                found = re.findall(rf"^(?:> )?{re.escape(u.text)}$", body, re.M)
                # a sentence that introduces the cigar and tells how it was obtained is quoted too
                assert len([f for f in found if not f.startswith(">")]) == 1, u.text


def test_every_run_of_sentences_has_its_stick_and_time(draft: str) -> None:
    third = part(draft, "Palate").split("### Second third")[0]
    assert (
        "*Stick 1 (Ines), 5:00.*\nFirst third, and it opens with cedar and black pepper." in third
    )
    assert "*Stick 2 (Odo), 4:40.*\nFirst third, cedar again and white pepper" in third
    assert "*Stick 3, 4:00.*\nFirst third, it starts with pepper" in third


def test_notes_of_most_sticks_lead_and_one_offs_are_named(draft: str) -> None:
    palate = part(draft, "Palate")
    order = [
        palate.index(label)
        for label in ("*Pepper, 3 of 3 sticks.*", "*Cedar, 2 of 3 sticks here and 3 of 3 in all.*")
    ]
    assert order == sorted(order)
    final = palate.split("### Final third")[1]
    assert final.index("*Leather, 3 of 3 sticks.*") < final.index(
        "*In one stick only.*\n*Stick 1 (Ines), 58:00.*\nThe finish"
    )
    assert "*In one stick only:* stick 1: dark chocolate; stick 3: orange peel" in final


def test_a_denial_stands_with_the_note_it_denies(draft: str) -> None:
    second = part(draft, "Palate").split("### Second third")[1].split("### Final")[0]
    cocoa = second.split("*Cocoa, 2 of 3 sticks")[1].split("*In one")[0]
    assert "No cocoa here at all." in cocoa


def test_the_burn_tells_silence_from_none(draft: str) -> None:
    burn = part(draft, "Burn")
    assert "| Stick 2 | relights |  |  |  | none, as said |" in burn
    assert "| Stick 3 | relights |  |  |  | not mentioned |" in burn
    # Wilson, 2 of 3 and 1 of 2 (scipy 1.17, proportion_ci("wilson")): .208-.939, .095-.905
    assert "- Touched up: 2 of 3 sticks, 21 to 94 %\n" in burn
    assert "- Relit: 1 of 2 sticks, 9 to 91 %; not mentioned in 1\n" in burn


def test_pace_is_not_taken_where_the_size_was_not_told(draft: str) -> None:
    rows = re.findall(r"^\| Stick (\d) \|.*\| ([^|]*) \|$", part(draft, "Burn"), re.M)
    paces = dict(rows[-3:])
    # 152.4 mm in 76 min, 152.4 mm in 65 min
    assert paces["1"].startswith("2.0 mm/min")
    assert paces["2"].startswith("2.3 mm/min")
    assert paces["3"] == "not mentioned"


def test_how_each_was_obtained_is_at_the_front(draft: str) -> None:
    front = yaml.safe_load(draft.split("---\n")[1])
    assert front["disclosure"][2] == "Stick 3: The shop gave me this one as a sample."
    assert len(front["disclosure"]) == 3
    assert "The shop gave me this one as a sample." in part(draft, "How they were obtained")


def test_contradictions_have_both_sides_with_quotes_and_times(draft: str) -> None:
    found = part(draft, "Where the sticks disagree")
    assert "“Cold draw is tight” (Stick 2 (Odo), 2:08)" in found
    assert "“The cold draw is open, with a little raisin” (Stick 1 (Ines), 2:10)" in found
    assert "*there, sticks 1 and 3:*" in found


def test_sticks_stored_differently_are_side_by_side(draft: str) -> None:
    found = part(draft, "The sticks")
    assert "relative humidity 65 % (sticks 1 and 3), 69 % (stick 2)" in found
    assert "| Stick 2 | 69 % | 90 | none, as said | none, as said | 65 min |" in found


def test_money_is_told_stick_by_stick(draft: str) -> None:
    # 1.38 of 9.20 is 15 %; 9.20 for 76 min is 7.26 an hour, 9.60 for 65 min is 8.86
    found = part(draft, "Presentation and value")
    assert "| Stick 1 | USD 9.20 | USD 7.82 | 15 % | USD 7.26 |" in found
    assert "| Stick 2 | USD 9.60 | not mentioned | not mentioned | USD 8.86 |" in found


def test_the_times_render_to_nothing(draft: str) -> None:
    body = draft.split("\n---\n", 1)[1]
    without = body.split("[times]:")[0]
    render = MarkdownIt("commonmark").enable("table").render
    assert render(body) == render(without)
    assert body.count("\n[s1u") == 23


def test_two_sizes_have_a_part_each_and_nothing_is_pooled_across() -> None:
    toro = {"length_in": 6, "ring_gauge": 52}
    sticks = [
        stick(1, facts=toro, notes=[note("cedar")]),
        stick(2, facts=toro, notes=[note("cedar")]),
        stick(3, facts={"length_in": 5, "ring_gauge": 50}, notes=[note("cedar")]),
    ]
    found = pool(sticks)
    text = pooled_draft(found, "Ledger", ["families-1.svg", "families-2.svg"], caution=False)
    assert "## 6 x 52 (152 x 20.6 mm): sticks 1 and 2\n" in text
    assert "## 5 x 50 (127 x 19.8 mm): stick 3\n" in text
    assert "one stick only, nothing is pooled" in text
    assert "cedar (2 of 2)" in text
    assert "of 3" not in text.split("## 6 x 52")[1]


def test_what_was_said_cannot_change_the_page() -> None:
    said = [("palate", 1, "a | b *c* <script> {{ d }} # e")]
    nasty = [stick(n, said=said, reviewer="*R* <b>", facts={"wrapper": "x|y"}) for n in (1, 2)]
    text = pooled_draft(pool(nasty), "T | *t*", ["families.svg"], caution=False)
    html = MarkdownIt("js-default").render(text.split("\n---\n", 1)[1])
    assert "<script>" not in html
    assert "<b>" not in html
    assert "{{" not in text
    assert re.search(r"<td>x\|y</td>", html)


def test_an_edited_draft_is_kept_and_the_same_run_gives_the_same_bytes(
    folders: tuple[Path, ...], tmp_path: Path
) -> None:
    names = [str(f) for f in folders]
    first = write_pool(names, tmp_path)
    before = {w.path.name: w.path.read_bytes() for w in first.files}
    assert set(before) == {"pooled.md", "pooled-sheet.md", "pooled.json", "families.svg"}
    again = write_pool(names, tmp_path)
    assert {w.path.name: w.path.read_bytes() for w in again.files} == before
    (tmp_path / "pooled.md").write_text("mine", "utf-8")
    third = write_pool(names, tmp_path)
    assert third.files[0].path.name == "pooled.new.md"
    assert (tmp_path / "pooled.md").read_text("utf-8") == "mine"


def test_marks_come_from_the_tallied_notes(folders: tuple[Path, ...], tmp_path: Path) -> None:
    texts = [(f / "notes.json").read_text("utf-8") for f in folders[:2]]
    for n, (mark, total) in enumerate(((6.0, 6.25), (7.0, 7.0))):
        sheet = marked({"draw": mark}, total=total)
        path = tmp_path / f"stick{n}.json"
        path.write_text(with_sheet(texts[n], sheet), "utf-8")
        assert read_notes(path.read_text("utf-8")).sheet == sheet
    done = write_pool([str(tmp_path / f"stick{n}.json") for n in (0, 1)], tmp_path / "out")
    page = (tmp_path / "out" / "pooled-sheet.md").read_text("utf-8")
    assert "| smoke | draw | 6 | 7 | 6.5 | 6.5 | 6 to 7 | 2 |" in page
    # the mean of 6.25 and 7 is 6.625; half a hundredth is rounded upwards
    assert "| **Overall total** |  | 6.25 | 7 | 6.63 | 6.63 | 6.25 to 7 | 2 |" in page
    pooled = (tmp_path / "out" / "pooled.md").read_text("utf-8")
    assert "| Stick 1 | 65 % | 42 | 1 | 1 | 76 min | 6.25 |" in pooled
    assert [s.source for s in done.pool.sticks] == ["stick0", "stick1"]


def test_a_stick_alone_of_its_size_keeps_the_order_it_was_said_in() -> None:
    said = [("palate", 1, "Oak here."), ("palate", 1, "Cedar here.")]
    notes = [note("oak", utterance=0), note("cedar", utterance=1)]
    alone = stick(1, facts={"length_in": 4, "ring_gauge": 40}, said=said, notes=notes)
    found = pool([alone, replace(alone, number=2, facts={"length_in": 7, "ring_gauge": 40})])
    text = pooled_draft(found, "T", ["a.svg", "b.svg"], caution=False)
    assert text.index("Oak here.\n") < text.index("Cedar here.\n")
