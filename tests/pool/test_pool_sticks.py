"""Reading sessions: who, when, which cigar; and what is refused."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from ashdraft.errors import AshdraftError, DataDamaged, InputMissing, TranscriptDamaged, UsageError
from ashdraft.export import read_notes
from ashdraft.model import Timing
from ashdraft.pool import pool, read_sticks
from ashdraft.tally import seal, tally

from .build import stick


@pytest.fixture
def copies(folders: tuple[Path, ...], tmp_path: Path) -> tuple[Path, ...]:
    return tuple(Path(shutil.copytree(f, tmp_path / f.name)) for f in folders)


def edit(folder: Path, old: str, new: str) -> None:
    draft = folder / "draft.md"
    text = draft.read_text("utf-8")
    assert old in text
    draft.write_text(text.replace(old, new, 1), "utf-8")


def test_a_session_is_a_folder_its_draft_or_its_notes(folders: tuple[Path, ...]) -> None:
    one, two, three = folders
    found = read_sticks([str(one), str(two / "draft.md"), str(three / "notes.json")])
    assert [s.facts["name"] for s in found] == ["Ledger"] * 3
    assert [s.source for s in found] == ["stick1-draft", "stick2-draft", "stick3-draft"]


def test_one_session_is_no_pool(folders: tuple[Path, ...]) -> None:
    with pytest.raises(UsageError, match="no pool"):
        read_sticks([str(folders[0])])


def test_the_same_recording_twice_is_refused(folders: tuple[Path, ...], tmp_path: Path) -> None:
    again = shutil.copytree(folders[0], tmp_path / "again")
    with pytest.raises(UsageError, match="the same recording"):
        read_sticks([str(folders[0]), str(again)])


def test_a_reviewer_is_named_behind_an_at_sign(copies: tuple[Path, ...]) -> None:
    edit(copies[1], "draft: true\n", "draft: true\nreviewer: Odo\n")
    one, two, three = read_sticks([f"{copies[0]}@Ines Fell", str(copies[1]), str(copies[2])])
    assert [s.reviewer for s in (one, two, three)] == ["Ines Fell", "Odo", None]


def test_a_folder_with_an_at_sign_is_a_folder(copies: tuple[Path, ...]) -> None:
    moved = copies[0].rename(copies[0].with_name("stick@home"))
    found = read_sticks([str(moved), f"{copies[1]}@Odo"])
    assert [(s.source, s.reviewer) for s in found] == [
        ("stick@home", None),
        ("stick2-draft", "Odo"),
    ]
    with pytest.raises(UsageError, match="names no reviewer"):
        read_sticks([str(copies[1]), f"{copies[2]}@"])


def test_days_number_the_sticks_only_where_all_are_known(copies: tuple[Path, ...]) -> None:
    edit(copies[0], "draft: true\n", "date: 2026-05-09\ndraft: true\n")
    names = [str(c) for c in copies]
    assert [s.source for s in read_sticks(names)] == [c.name for c in copies]
    edit(copies[1], "draft: true\n", "date: 2026-05-02\ndraft: true\n")
    edit(copies[2], "draft: true\n", "date: 2026-05-30T20:14:00\ndraft: true\n")
    found = read_sticks(names)
    assert [(s.number, s.source, s.day) for s in found] == [
        (1, "stick2-draft", "2026-05-02"),
        (2, "stick1-draft", "2026-05-09"),
        (3, "stick3-draft", "2026-05-30"),
    ]


def test_the_day_of_the_recording_is_used(copies: tuple[Path, ...]) -> None:
    for n, folder in enumerate(copies, 1):
        path = folder / "notes.json"
        document = json.loads(path.read_text("utf-8"))
        document["recordings"][0]["recorded_at"] = f"2026-06-0{4 - n}T21:00:00+02:00"
        path.write_text(json.dumps(document), "utf-8")
    found = read_sticks([str(c) for c in copies])
    assert [s.source for s in found] == ["stick3-draft", "stick2-draft", "stick1-draft"]


def test_two_cigars_are_refused_unless_they_are_said_to_be_one(copies: tuple[Path, ...]) -> None:
    edit(copies[1], "  name: Ledger\n", "  name: Wharfinger\n")
    found = read_sticks([str(c) for c in copies])
    with pytest.raises(UsageError, match=r"'Ledger' \(stick1-draft\) and 'Wharfinger'") as fault:
        pool(found)
    assert "--name" in fault.value.next_step
    together = pool(found, name="Ledger")
    assert together.name == "Ledger"
    assert any(c.message.startswith("The name differs") for c in together.checks)


def test_the_maker_counts_too_and_spelling_does_not() -> None:
    one, two = stick(1, facts={"name": "No. 3"}), stick(2, facts={"name": "no 3"})
    assert pool([one, two]).name == "No. 3"
    apart = stick(1, facts={"maker": "A"}), stick(2, facts={"maker": "B"})
    with pytest.raises(UsageError, match="maker"):
        pool(apart)


def test_names_nobody_typed_are_a_thing_to_check() -> None:
    found = pool([stick(1, facts={"name": "Ledger"}), stick(2), stick(3)])
    assert found.checks[0].message.startswith("No name was typed for sticks 2 and 3")


def test_times_that_disagree_are_a_thing_to_check(folders: tuple[Path, ...]) -> None:
    found = pool(read_sticks([str(f) for f in folders]))
    assert not any(c.kind == "contradiction" for c in found.checks)
    told = stick(1, facts={"smoking_minutes": 90}, timing=Timing(lit=0.0, put_down=3600.0))
    lines = [c.message for c in pool([told, stick(2)]).checks]
    assert any("90 min of smoking" in line and "60 min" in line for line in lines)


@pytest.mark.parametrize(
    ("spoil", "error"),
    [
        (lambda f: (f / "notes.json").unlink(), InputMissing),
        (lambda f: (f / "notes.json").write_text("{}", "utf-8"), TranscriptDamaged),
        (lambda f: (f / "draft.md").write_text("---\na: [\n---\n", "utf-8"), DataDamaged),
        (lambda f: (f / "draft.md").write_bytes(b"\xff\xfe"), DataDamaged),
        (lambda f: shutil.rmtree(f), InputMissing),
    ],
)
def test_what_cannot_be_read_is_named(
    copies: tuple[Path, ...], spoil: object, error: type[AshdraftError]
) -> None:
    spoil(copies[1])  # type: ignore[operator]
    with pytest.raises(error, match="stick2-draft") as fault:
        read_sticks([str(c) for c in copies])
    assert fault.value.next_step


@pytest.mark.parametrize(
    "front", ["", "---\ncigar: 3\ndate: soon\n---\n", "---\ndate: '2026-13-40'\n---\n"]
)
def test_a_draft_without_its_front_matter_only_lacks_the_name(
    copies: tuple[Path, ...], front: str
) -> None:
    (copies[1] / "draft.md").write_text(f"{front}Mine.\n", "utf-8")
    found = read_sticks([str(c) for c in copies])
    assert "name" not in found[1].facts
    assert found[1].facts["price"] == 9.6
    assert found[1].day is None


def test_a_blind_draft_is_refused_until_its_tally_is_closed(copies: tuple[Path, ...]) -> None:
    draft = copies[1] / "draft.md"
    notes = read_notes((copies[1] / "notes.json").read_text("utf-8"))
    typed = replace(notes, typed_facts={"name": "Ledger", "maker": "Copperline"})
    draft.write_text(seal(draft.read_text("utf-8"), typed).text, "utf-8")
    with pytest.raises(UsageError, match=r"stick2-draft/draft\.md is still blind") as fault:
        read_sticks([str(c) for c in copies])
    assert "--close" in fault.value.next_step


def test_a_name_that_is_a_number_to_yaml_is_a_name(copies: tuple[Path, ...]) -> None:
    for copy in copies:
        edit(copy, "  name: Ledger\n", "  name: 1871\n")
    found = read_sticks([str(c) for c in copies])
    assert [s.facts["name"] for s in found] == ["1871"] * 3
    assert pool(found).name == "1871"


def test_how_it_was_obtained_may_be_told_to_the_tally(copies: tuple[Path, ...]) -> None:
    tally(copies[0], obtained="sample")
    found = read_sticks([str(c) for c in copies])
    assert [s.facts.get("obtained") for s in found] == ["sample", None, None]


def test_notes_without_a_draft_can_be_pooled(copies: tuple[Path, ...]) -> None:
    (copies[2] / "draft.md").unlink()
    assert "name" not in read_sticks([str(c) for c in copies])[2].facts
