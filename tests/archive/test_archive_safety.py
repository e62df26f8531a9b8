"""Two processes, kill -9, a full disk, rights, damage and other versions."""

from __future__ import annotations

import json
import multiprocessing
import os
import random
import shutil
import signal
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest
from ashdraft.archive import (
    Entry,
    Search,
    add,
    check,
    find,
    list_sessions,
    opened,
    remove,
    schema,
    show_session,
    store,
)
from ashdraft.errors import ArchiveUnusable, AshdraftError, InputMissing, OutputRefused

from tests.archive.made import document, entry
from tests.needs import need

posix = pytest.mark.skipif(os.name == "nt", reason="POSIX signals and rights")
SETTINGS = opened._settings


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    return tmp_path / "archive.sqlite"


# ---- killed ----

GROUP = range(20)
LENGTHS = range(12, 18)


def keep_writing(path: Path, groups: list[list[Entry]]) -> None:
    """Replace all sessions at once, over and over, and remove two of them now and then.

    A small page cache makes SQLite write into the file long before a transaction ends.
    """
    opened._settings = lambda: (*SETTINGS(), "cache_size = 10")
    for turn in count():
        add(path, groups[turn % len(groups)])
        if turn % 3 == 2:
            remove(path, [1, 2])


def kill_and_look(path: Path, kills: int) -> int:
    """Return how many of the killed writers left a transaction half written."""
    groups = [[entry(n, length) for n in GROUP] for length in LENGTHS]
    journal = path.with_name(f"{path.name}-journal")
    dice, halves = random.Random(7), 0
    for _ in range(kills):
        writer = multiprocessing.get_context("fork").Process(
            target=keep_writing, args=(path, groups)
        )
        writer.start()
        while writer.is_alive() and not journal.exists():
            time.sleep(0.001)
        time.sleep(dice.uniform(0, 0.15))
        assert writer.pid
        assert writer.is_alive()
        os.kill(writer.pid, signal.SIGKILL)
        writer.join()
        halves += journal.exists() and journal.stat().st_size > 0
        assert_whole(path)
    return halves


def assert_whole(path: Path) -> None:
    """What SQLite says (its pragmas), and what must be there: all of one group, or of none."""
    assert check(path) == ()
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        sizes = connection.execute(
            "SELECT session.title, count(*) FROM session LEFT JOIN utterance "
            "ON utterance.session = session.id GROUP BY session.id"
        ).fetchall()
        notes = dict(
            connection.execute(
                "SELECT title, notes FROM session JOIN document ON session = session.id"
            )
        )
    assert len(sizes) in (0, len(GROUP) - 2, len(GROUP))
    assert len({size for _, size in sizes}) <= 1
    assert {title: len(json.loads(text)["utterances"]) for title, text in notes.items()} == dict(
        sizes
    )


@posix
def test_killed_8_times(archive: Path) -> None:
    add(archive, [entry(n) for n in GROUP])
    kill_and_look(archive, 8)
    assert len(list_sessions(archive)) >= len(GROUP) - 2


@posix
@pytest.mark.slow
def test_killed_100_times(archive: Path) -> None:
    halves = kill_and_look(archive, 100)
    print(f"\n{halves} of 100 kills fell into a transaction")
    assert halves >= 20


# ---- two at once ----


def add_some(path: Path, numbers: range, start: object) -> None:
    start.wait()  # type: ignore[attr-defined]
    for number in numbers:
        add(path, [entry(number, 9)])


@posix
@pytest.mark.parametrize("other", [range(100, 112), range(12)], ids=["different", "same"])
def test_two_processes_at_once(archive: Path, other: range) -> None:
    context = multiprocessing.get_context("fork")
    start = context.Barrier(2)
    both = [context.Process(target=add_some, args=(archive, r, start)) for r in (range(12), other)]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
    assert [process.exitcode for process in both] == [0, 0]
    assert len(list_sessions(archive)) == len({*range(12), *other})
    assert check(archive) == ()


def test_in_use_by_another(archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add(archive, [entry(1)])
    monkeypatch.setattr(opened, "WAIT_MS", 50)
    with closing(sqlite3.connect(archive, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert list_sessions(archive)
        with pytest.raises(OutputRefused, match="in use"):
            add(archive, [entry(2)])
    add(archive, [entry(2)])


def test_removed_but_not_built_anew(archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A reader that stays keeps the file from being built anew; check makes up for it."""
    add(archive, [entry(1), entry(2)])
    monkeypatch.setattr(opened, "WAIT_MS", 50)

    def vacuum(path: Path) -> None:
        with closing(sqlite3.connect(path, isolation_level=None)) as reader:
            reader.execute("BEGIN")
            reader.execute("SELECT * FROM session").fetchone()
            opened.vacuum(path)

    monkeypatch.setattr(store, "vacuum", vacuum)
    with pytest.raises(OutputRefused, match="are removed, but") as caught:
        remove(archive, [2])
    assert "ashdraft archive check" in caught.value.next_step
    assert freed(archive) > 0
    assert check(archive) == ()
    assert freed(archive) == 0
    assert [s.id for s in list_sessions(archive)] == [1]


def freed(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA freelist_count").fetchone()[0])


# ---- full, and without rights ----


def test_full_disk(archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """max_page_count ends in SQLITE_FULL, as a full disk does (sqlite.org/pragma.html)."""
    add(archive, [entry(1)])
    before = archive.read_bytes()
    monkeypatch.setattr(opened, "_settings", lambda: (*SETTINGS(), "max_page_count = 70"))
    with pytest.raises(OutputRefused, match="No room") as caught:
        add(archive, [entry(n) for n in range(2, 9)])
    assert "Free some space" in caught.value.next_step
    assert archive.read_bytes() == before


@pytest.fixture
def ordinary() -> Iterator[Path]:
    """A folder outside of pytest's, and a user who is bound by rights."""
    folder = Path(tempfile.mkdtemp())
    root = os.geteuid() == 0
    if root:
        above = Path(opened.__file__).resolve().parents
        need(all(p.stat().st_mode & 0o001 for p in above), "a copy that every user may read")
        os.chown(folder, 65534, 65534)
        os.seteuid(65534)
    try:
        yield folder
    finally:
        if root:
            os.seteuid(0)
        folder.chmod(0o700)
        shutil.rmtree(folder)


@posix
def test_without_the_right_to_write(ordinary: Path) -> None:
    archive = ordinary / "archive.sqlite"
    add(archive, [entry(1)])
    archive.chmod(0o400)
    ordinary.chmod(0o500)
    assert list_sessions(archive)
    assert find(archive, Search(text="rain"))
    for refused in (lambda: add(archive, [entry(2)]), lambda: remove(archive, [1])):
        with pytest.raises(OutputRefused, match="cannot be written"):
            refused()
    with pytest.raises(OutputRefused, match="Permission denied"):
        add(ordinary / "new.sqlite", [entry(2)])
    archive.chmod(0)
    with pytest.raises(OutputRefused, match="cannot be opened"):
        list_sessions(archive)


# ---- damage and versions ----


def test_no_archive_yet(archive: Path) -> None:
    for asked in (
        lambda: list_sessions(archive),
        lambda: show_session(archive, 1),
        lambda: remove(archive, [1]),
        lambda: check(archive),
    ):
        with pytest.raises(InputMissing):
            asked()
    assert not archive.exists()
    with pytest.raises(OutputRefused, match="is no file"):
        add(archive.parent, [entry(1)])


def test_an_empty_file_becomes_an_archive(archive: Path) -> None:
    """It is what a process leaves that was killed just after it made the file."""
    archive.touch()
    assert list_sessions(archive) == ()
    add(archive, [entry(1)])
    assert len(list_sessions(archive)) == 1


@pytest.mark.parametrize("content", [b"not a database at all, but a letter\n" * 90, b"\0" * 8192])
def test_not_a_database(archive: Path, content: bytes) -> None:
    archive.write_bytes(content)
    for asked in (lambda: list_sessions(archive), lambda: add(archive, [entry(1)])):
        with pytest.raises(ArchiveUnusable, match="is no archive"):
            asked()
    assert archive.read_bytes() == content


@pytest.mark.parametrize(
    "made", ["CREATE TABLE bird (name)", "PRAGMA user_version = 3", "PRAGMA application_id = 9;"
             "CREATE TABLE session (id)"]
)  # fmt: skip
def test_a_database_of_another_program(archive: Path, made: str) -> None:
    with closing(sqlite3.connect(archive)) as connection:
        connection.executescript(made)
    for asked in (lambda: list_sessions(archive), lambda: add(archive, [entry(1)])):
        with pytest.raises(ArchiveUnusable, match="another program"):
            asked()


def test_a_newer_archive_is_left_alone(archive: Path) -> None:
    add(archive, [entry(1)])
    with closing(sqlite3.connect(archive)) as connection:
        connection.execute("PRAGMA user_version = 99")
    before = archive.read_bytes()
    with pytest.raises(ArchiveUnusable, match="schema 99") as caught:
        add(archive, [entry(2)])
    assert "pip install --upgrade" in caught.value.next_step
    assert archive.read_bytes() == before


def test_an_older_archive_is_brought_up_to_date(
    archive: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    add(archive, [entry(1)])
    second = tmp_path / "schema_2.sql"
    monkeypatch.setattr(schema, "MIGRATIONS", ("schema_1.sql", str(second)))
    second.write_text("ALTER TABLE session ADD COLUMN aged TEXT;\nDROP TABLE nothing;\n")
    with pytest.raises(sqlite3.OperationalError):
        list_sessions(archive)
    second.write_text("ALTER TABLE session ADD COLUMN aged TEXT;\nUPDATE session SET aged = 'x';\n")
    assert len(list_sessions(archive)) == 1
    with closing(sqlite3.connect(archive)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (2,)
        assert connection.execute("SELECT aged FROM session").fetchall() == [("x",)]
    assert check(archive) == ()


def test_without_full_text_search(archive: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Without(sqlite3.Connection):
        def execute(self, sql: str, *values: object) -> sqlite3.Cursor:  # type: ignore[override]
            return super().execute(sql.replace("'fts5'", "'no such module'"), *values)

    connect = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda *a, **k: connect(*a, **k, factory=Without))
    with pytest.raises(ArchiveUnusable, match="no full-text search"):
        add(archive, [entry(1)])


@pytest.mark.parametrize("part", [0.3, 0.6, 0.95])
def test_a_file_cut_short(archive: Path, part: float) -> None:
    add(archive, [entry(n) for n in range(9)])
    data = archive.read_bytes()
    archive.write_bytes(data[: int(len(data) * part)])
    with pytest.raises(ArchiveUnusable, match="is damaged"):
        add(archive, [entry(n) for n in range(9, 30)])


def test_check_finds_what_does_not_fit(archive: Path) -> None:
    add(archive, [entry(1), entry(2), entry(3)])
    with closing(sqlite3.connect(archive, isolation_level=None)) as connection:
        connection.execute("DELETE FROM descriptor WHERE session = 1 AND place = 0")
        connection.execute("UPDATE document SET notes = '{' WHERE session = 2")
        connection.execute("UPDATE utterance SET said = 'other' WHERE session = 3 AND number = 0")
        connection.execute("INSERT INTO sheet_row VALUES (9, 0, 'draw', 'burn', 1, '', 0)")
    assert check(archive) == (
        "sheet_row: a row points at no sheet",
        "words: the full-text index does not hold what was said",
        "session 1: 19 rows of 20 in descriptor",
        "session 2: its notes cannot be read",
    )


def test_damage_anywhere_is_said_and_nothing_worse(archive: Path) -> None:
    add(archive, [entry(n, 20) for n in range(4)])
    whole, dice, said = archive.read_bytes(), random.Random(3), 0
    for _ in range(30):
        data = bytearray(whole)
        at = dice.randrange(len(data))
        data[at : at + 64] = dice.randbytes(64)
        archive.write_bytes(data[: len(whole)])
        for asked in (
            lambda: list_sessions(archive),
            lambda: find(archive, Search(text="rain", notes=("cedar",)), None),
            lambda: show_session(archive, 2),
            lambda: check(archive),
        ):
            try:
                asked()
            except AshdraftError:
                said += 1
    assert said >= 3


def test_notes_of_any_letters_come_back(archive: Path) -> None:
    odd = document(1)
    odd["utterances"][0]["said"] = "half a pair \ud800, a null \0, a flag \U0001f3f4"
    odd["descriptors"][0]["quote"] = "\ud800"
    text = json.dumps(odd)
    add(archive, [Entry("/somewhere", text, "Odd")])
    assert show_session(archive, 1).document == odd
    assert check(archive) == ()
