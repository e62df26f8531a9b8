"""Keeping, replacing and removing: every row, no row twice, and no word left behind."""

from __future__ import annotations

import json
import os
import sqlite3
import stat
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from ashdraft.archive import Entry, add, check, list_sessions, read_entry, remove, show_session
from ashdraft.archive.entry import identity
from ashdraft.errors import DataDamaged, InputMissing, TranscriptDamaged, UsageError
from ashdraft.export import notes_json, read_notes, validate

from tests.archive.made import document, entry

CHILDREN = (
    "document", "recording", "utterance", "descriptor", "event", "counts", "counts_evidence",
    "spoken_mark", "chapter", "repair", "sheet", "sheet_section", "sheet_row",
)  # fmt: skip


def counts(path: Path, session: int) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as connection:
        return {
            table: connection.execute(
                f"SELECT count(*) FROM {table} WHERE session = ?", [session]
            ).fetchone()[0]
            for table in CHILDREN
        }


def folder(at: Path, front: str = "", number: int = 1) -> Path:
    at.mkdir(parents=True)
    (at / "notes.json").write_text(notes_json(read_notes(json.dumps(document(number)))), "utf-8")
    if front:
        (at / "draft.md").write_text(f"---\n{front}---\n\n# Draft\n", "utf-8")
    return at


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    return tmp_path / "made" / "archive.sqlite"


def test_made_up_notes_are_notes() -> None:
    validate(document(1))


def test_every_row_is_kept(archive: Path) -> None:
    notes = document(1)
    (kept,) = add(archive, [entry(1)])
    assert counts(archive, kept.session) == {
        "document": 1,
        "recording": 1,
        "utterance": 40,
        "descriptor": 20,
        "event": 1,
        "counts": 2,
        "counts_evidence": 1,
        "spoken_mark": 1,
        "chapter": 1,
        "repair": 1,
        "sheet": 1,
        "sheet_section": 2,
        "sheet_row": 4,
    }
    with closing(sqlite3.connect(archive)) as connection:
        connection.row_factory = sqlite3.Row
        row = connection.execute("SELECT * FROM session").fetchone()
        assert row["length_in"] == 5.625
        assert row["put_down"] is None
        assert row["obtained"] == "bought"
        told = connection.execute("SELECT kind, total FROM counts ORDER BY kind").fetchall()
        assert [tuple(r) for r in told] == [("relights", None), ("touch_ups", 1)]
        said = connection.execute("SELECT heard, said, text FROM utterance ORDER BY id").fetchall()
        assert [tuple(r) for r in said] == [
            (u["heard"], u["said"], u["text"]) for u in notes["utterances"]
        ]


def test_again_replaces_and_keeps_the_number(archive: Path) -> None:
    add(archive, [entry(1), entry(2)])
    (again,) = add(archive, [entry(1, 12)])
    assert (again.session, again.replaced) == (1, True)
    assert counts(archive, 1)["utterance"] == 12
    assert [s.id for s in list_sessions(archive)].count(1) == 1
    assert check(archive) == ()


def test_a_name_and_marks_that_are_lost_are_told(archive: Path) -> None:
    whole = entry(3)
    blank = {"rows": [r | {"mark": None} for r in document(3)["sheet"]["rows"]], "total": None}
    bare = entry(3, sheet=document(3)["sheet"] | blank)
    (first,) = add(archive, [whole])
    assert (first.lost, first.before) == ((), None)
    (same,) = add(archive, [whole])
    assert (same.lost, same.before) == ((), whole.folder)
    (less,) = add(archive, [replace(bare, typed={"maker": "Quillon"}, folder="/elsewhere")])
    assert (less.lost, less.before) == (("name", "marks"), whole.folder)
    (more,) = add(archive, [whole])
    assert (more.lost, more.before) == ((), "/elsewhere")


def test_a_session_is_known_by_its_recordings_in_any_order() -> None:
    one, two = document(1)["recordings"] + document(2)["recordings"], document(1)
    assert identity(two | {"recordings": one}) == identity(two | {"recordings": one[::-1]})
    assert identity(two | {"recordings": one}) != identity(two)
    assert identity(two) == identity(two | {"utterances": []})
    without = two | {"recordings": []}
    assert identity(without) != identity(document(2) | {"recordings": []})


def test_a_shared_recording_is_told_and_nothing_is_lost(archive: Path) -> None:
    both = document(1)["recordings"] + document(2)["recordings"]
    add(archive, [entry(1)])
    (kept,) = add(archive, [entry(2, recordings=both)])
    assert (kept.session, kept.replaced, kept.related) == (2, False, (1,))
    assert len(list_sessions(archive)) == 2


def test_all_or_none(archive: Path) -> None:
    add(archive, [entry(1)])
    bad = document(3)
    bad["utterances"][0]["start"] = 10**400
    with pytest.raises(TranscriptDamaged):
        add(archive, [entry(2), Entry("/somewhere", json.dumps(bad), "Bad")])
    assert [s.id for s in list_sessions(archive)] == [1]


def test_removed_words_are_nowhere_in_the_file(archive: Path) -> None:
    """Case is folded, as the full-text index keeps words in small letters."""
    rare = ("xylograph", "quixotry", "zephyrine")
    marked = document(2)
    for at, word in enumerate(rare):
        for key in ("heard", "said", "text"):
            marked["utterances"][at * 7][key] += f" {word} {word}ness"
    noted = dict(marked["descriptors"][0], term="vellumwort", quote="some vellumwort here")
    marked["descriptors"].append(noted)
    secret = entry(2, **{k: marked[k] for k in ("utterances", "descriptors")})
    add(archive, [entry(n) for n in range(10, 40)])
    (kept,) = add(archive, [secret])
    add(archive, [entry(n, 9) for n in range(10, 40)])  # pages are written again
    add(archive, [secret])
    words = [word.encode() for word in (*rare, "vellumwort", "stick2-draft", "stick2.m4a")]
    held = archive.read_bytes().lower()
    assert all(word in held for word in words)
    remove(archive, [kept.session])
    for file in archive.parent.iterdir():
        left = file.read_bytes().lower()
        assert not [word for word in words if word in left], file.name
    assert check(archive) == ()
    assert set(counts(archive, kept.session).values()) == {0}


def test_a_removed_number_is_not_used_again(archive: Path) -> None:
    add(archive, [entry(1), entry(2)])
    remove(archive, [2])
    (kept,) = add(archive, [entry(3)])
    assert kept.session == 3


def test_remove_takes_all_or_none(archive: Path) -> None:
    add(archive, [entry(1), entry(2)])
    with pytest.raises(UsageError, match="no session 9"):
        remove(archive, [1, 9])
    assert len(list_sessions(archive)) == 2
    assert [r.session for r in remove(archive, [1, 1])] == [1]


@pytest.mark.skipif(os.name == "nt", reason="POSIX permissions")
def test_only_the_owner_can_read_it(archive: Path) -> None:
    before = os.umask(0)
    try:
        add(archive, [entry(1)])
    finally:
        os.umask(before)
    assert stat.S_IMODE(archive.stat().st_mode) == 0o600
    assert stat.S_IMODE(archive.parent.stat().st_mode) == 0o700


def test_a_folder_is_read_with_its_front_matter(tmp_path: Path, archive: Path) -> None:
    front = (
        "title: A title of my own\ndate: 2026-05-02\ndisclosure: They sent it.\n"
        "cigar:\n  name: 1871\n  maker: Quillon\n  price: 99\n  note: dusty box\n"
    )
    made = folder(tmp_path / "stick-draft", front)
    for given in (made, made / "draft.md", made / "notes.json"):
        (kept,) = add(archive, [read_entry(given)])
        assert kept.session == 1
    one = show_session(archive, 1)
    assert one.summary.title == "Quillon 1871"
    assert one.summary.day == "2026-05-02"
    assert one.summary.folder == str(made)
    assert one.typed == {
        "name": "1871", "maker": "Quillon", "note": "dusty box", "disclosure": "They sent it.",
    }  # fmt: skip
    assert one.summary.price == document(1)["facts"]["price"]
    assert one.document == json.loads((made / "notes.json").read_text("utf-8"))


def test_how_it_was_obtained_may_be_told_to_the_tally(tmp_path: Path) -> None:
    said = "cigar:\n  obtained: bought\n"
    assert read_entry(folder(tmp_path / "a", said)).typed == {"obtained": "bought"}
    tallied = f"{said}tally:\n  obtained: sample\n"
    assert read_entry(folder(tmp_path / "b", tallied)).typed == {"obtained": "sample"}


@pytest.mark.parametrize(
    ("typed", "day"),
    [("2026-05-02", "2026-05-02"), ("'2026-05-02'", "2026-05-02"),
     ("2026-05-02T20:14:00", "2026-05-02"), ("'2026-02-30'", None), ("May", None)],
)  # fmt: skip
def test_a_day_may_be_typed_in_quotes_and_must_be_in_the_calendar(
    tmp_path: Path, typed: str, day: str | None
) -> None:
    made = folder(tmp_path / "d", f"date: {typed}\n")
    assert read_entry(made).day == (day or document(1)["recordings"][0]["recorded_at"][:10])


def test_options_win_over_the_front_matter(tmp_path: Path) -> None:
    made = folder(tmp_path / "d", "title: T\ncigar:\n  name: Old\n  maker: Quillon\n")
    assert read_entry(made, name="New").typed == {"name": "New", "maker": "Quillon"}


@pytest.mark.parametrize("draft", ["", "# no front matter\n", "---\n---\n"])
def test_a_draft_without_front_matter_gives_nothing(tmp_path: Path, draft: str) -> None:
    made = folder(tmp_path / "stick9-draft")
    (made / "draft.md").write_text(draft, "utf-8")
    read = read_entry(made)
    assert (read.typed, read.title, read.day) == ({}, "stick9-draft", "2016-02-02")


@pytest.mark.parametrize("front", ["title: T\ncigar: {name: [\n", "- a list\n"])
def test_damaged_front_matter_names_its_line(tmp_path: Path, front: str) -> None:
    made = folder(tmp_path / "d", front)
    with pytest.raises(DataDamaged, match=r"draft\.md, line [1-4]"):
        read_entry(made)


def test_what_a_blind_draft_withholds_is_kept_once_it_is_told(
    tmp_path: Path, archive: Path
) -> None:
    hidden = "title: withheld-6e59f13f-0\ncigar:\n  name: withheld-6e59f13f-1\n  cut: straight\n"
    made = folder(tmp_path / "d", hidden)
    (kept,) = add(archive, [read_entry(made)])
    assert (kept.title, kept.withheld) == ("d", True)
    assert show_session(archive, 1).typed == {"cut": "straight"}
    told = "title: T\ncigar:\n  name: Lantern No. 3\n"
    (made / "draft.md").write_text(f"---\n{told}---\n", "utf-8")
    (kept,) = add(archive, [read_entry(made)])
    assert (kept.session, kept.title, kept.withheld) == (1, "Lantern No. 3", False)


def test_no_folder_and_no_notes(tmp_path: Path) -> None:
    with pytest.raises(InputMissing):
        read_entry(tmp_path / "nowhere")
    (tmp_path / "notes.json").write_text("{}", "utf-8")
    with pytest.raises(TranscriptDamaged):
        read_entry(tmp_path)
