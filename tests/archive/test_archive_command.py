"""`ashdraft archive` as a person types it, and its page in the docs."""

from __future__ import annotations

import json
import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from ashdraft import errors
from ashdraft.archive import add, default_archive
from ashdraft.cli import app
from ashdraft.cli.archive_text import aligned
from typer.testing import CliRunner, Result

from tests.archive.made import document, entry

DOC = (Path(__file__).parents[2] / "docs" / "archive.md").read_text("utf-8")


@pytest.fixture
def archive(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "data" / "archive.sqlite"
    monkeypatch.setenv("ASHDRAFT_ARCHIVE", str(path))
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "stick-draft"
    made.mkdir()
    (made / "notes.json").write_text(json.dumps(document(1), ensure_ascii=False), "utf-8")
    (made / "draft.md").write_text("---\ncigar:\n  name: Lantern No. 3\n---\n", "utf-8")
    return made


def archived(*arguments: object) -> Result:
    return CliRunner().invoke(app, ["archive", *map(str, arguments)])


def test_a_session_from_keeping_to_removing(archive: Path, folder: Path) -> None:
    assert archived("add", folder).stdout == "Added 1: Lantern No. 3\n"
    assert archived("add", folder).stdout == "Replaced 1: Lantern No. 3\n"
    head, row = archived("list").stdout.splitlines()
    assert head.split()[:3] == ["No", "Day", "Cigar"]
    assert row.split()[:5] == ["1", "2016-02-02", "Lantern", "No.", "3"]
    shown = archived("show", 1).stdout
    assert "Touch-ups     1 (by thirds 1, 0, 0)" in shown
    assert "Relights      not mentioned" in shown
    over_time = archived("show", "LANTERN no3").stdout
    assert over_time.startswith("Lantern No. 3\n")
    assert "In 1 of 1" in over_time
    assert archived("check").stdout == f"{archive} is whole.\n"
    removed = archived("remove", 1).stdout
    assert removed.startswith("Removed 1: Lantern No. 3\n")
    assert str(folder) in removed
    assert (folder / "notes.json").exists()
    assert archived("list").stdout.startswith("The archive is empty.")


def test_find_prints_where(archive: Path) -> None:
    add(archive, [entry(n) for n in range(30)])
    text = archived("find", "--note", "hay", "--third", "3", "--text", "rain").stdout
    assert re.search(r"^ +\d+:\d\d  hay, third 3: ", text, re.M)
    limited = archived("find", "--sheet", "table", "--limit", "4").stdout.splitlines()
    assert len(limited) == 6
    assert limited[-1] == "4 of 30 shown; --limit 0 shows all."
    assert len(archived("find", "--sheet", "table", "--limit", 0).stdout.splitlines()) == 31
    assert archived("find", "--note", "granite").stdout == "No session matches.\n"


def test_json_for_programs(archive: Path) -> None:
    add(archive, [entry(n) for n in (3, 703)])
    listed = json.loads(archived("list", "--json").stdout)
    assert [s["day"] for s in listed] == sorted((s["day"] for s in listed), reverse=True)
    found = json.loads(archived("find", "--mark", "draw=0..9", "--json").stdout)
    assert {"session", "hits"} == set(found[0])
    assert json.loads(archived("show", 1, "--json").stdout)["document"] == document(3)
    assert len(json.loads(archived("show", "lantern no3", "--json").stdout)["sessions"]) == 2
    assert json.loads(archived("find", "--note", "granite", "--json").stdout) == []


def test_a_number_may_be_a_name(archive: Path, folder: Path) -> None:
    archived("add", folder, "--name", "1871", "--maker", "Quillon")
    assert archived("show", 1871).exit_code == errors.InputMissing.exit_code
    assert archived("show", 1871, "--cigar").stdout.startswith("Quillon 1871\n")
    assert archived("show", 1871, "--maker", "quillon").exit_code == 0


def test_export(archive: Path, tmp_path: Path) -> None:
    add(archive, [entry(n) for n in (1, 2)])
    for name in ("a.csv", "a.json", "kept"):
        out = tmp_path / name
        assert archived("export", out).stdout == f"Written: {out}\n"
        assert out.exists()
        again = archived("export", out)
        assert again.exit_code == errors.OutputRefused.exit_code
        assert archived("export", out, "--force").exit_code == 0
    assert json.loads((tmp_path / "kept" / "session-2.json").read_text("utf-8")) == document(2)


def test_a_replacement_without_marks_says_so(archive: Path, folder: Path) -> None:
    notes = json.loads((folder / "notes.json").read_text("utf-8"))
    assert archived("add", folder).exit_code == 0
    del notes["sheet"]
    (folder / "notes.json").write_text(json.dumps(notes), "utf-8")
    said = archived("add", folder).stdout
    assert f"  It had marks when it came from {folder.resolve()}, and has none now." in said


@pytest.mark.parametrize(
    ("arguments", "fault", "said"),
    [
        ("find", errors.UsageError, "Nothing was asked for"),
        ("find --third 4", errors.UsageError, "--third cannot be '4'"),
        ("find --polarity perhaps", errors.UsageError, "present, absent, any"),
        ("find --source ear", errors.UsageError, "retrohale"),
        ("find --price cheap", errors.UsageError, "Type 7, 7..9"),
        ("find --mark draw", errors.UsageError, "--mark draw=7..9"),
        ("find --said-mark =7", errors.UsageError, "names no mark"),
        ("find --since May", errors.UsageError, "Type 2026"),
        ("find --note hay --since 2026-13", errors.UsageError, "is no date"),
        ("find --text ***", errors.UsageError, "no word to search for"),
        ("find --note !!", errors.UsageError, "holds no word"),
        ("export sessions.txt", errors.UsageError, "neither .csv nor .json"),
        ("show nobody", errors.InputMissing, "find --cigar"),
        ("show 77", errors.InputMissing, "ashdraft archive list"),
        ("remove 77", errors.UsageError, "nothing was removed"),
        ("remove one", errors.UsageError, "no number of a session"),
        ("export a.csv --table nothing", errors.UsageError, "Use one of: session"),
        ("add nowhere-draft", errors.InputMissing, "does not exist"),
        ("add a b --name N", errors.UsageError, "one by one"),
        ("list --archive nowhere.sqlite", errors.InputMissing, "ashdraft archive add FOLDER"),
    ],
)
def test_what_cannot_be_done_says_what_to_type(
    archive: Path, arguments: str, fault: type[errors.AshdraftError], said: str
) -> None:
    add(archive, [entry(1)])
    done = archived(*arguments.split())
    assert (done.exit_code, done.stdout) == (fault.exit_code, "")
    assert said in done.stderr
    assert "fault of the program" not in done.stderr


def test_check_of_a_damaged_archive(archive: Path) -> None:
    add(archive, [entry(1)])
    with closing(sqlite3.connect(archive, isolation_level=None)) as connection:
        connection.execute("DELETE FROM event")
    done = archived("check")
    assert done.exit_code == errors.ArchiveUnusable.exit_code
    assert done.stdout == "session 1: 0 rows of 1 in event\n"
    assert "Put back a copy" in done.stderr


def test_control_characters_are_not_obeyed(archive: Path, folder: Path) -> None:
    archived("add", folder, "--name", "Lan\x1b[31mtern")
    for arguments in (["list"], ["show", "1"], ["find", "--note", "c*"], ["remove", "1"]):
        assert "\x1b" not in archived(*arguments).stdout


def test_columns_are_as_wide_as_they_look() -> None:
    """East Asian letters take two columns (Unicode UAX 11)."""
    assert aligned([("花", "1"), ("ab", "10"), ("é", "7")], right=(1,)) == [
        "花   1",
        "ab  10",
        "é    7",
    ]


def test_the_archive_lies_in_the_users_data_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification on Linux, by way of platformdirs."""
    from platformdirs import user_data_dir

    monkeypatch.delenv("ASHDRAFT_ARCHIVE", raising=False)
    expected = Path(user_data_dir("ashdraft", appauthor=False)) / "archive.sqlite"
    assert default_archive() == expected
    monkeypatch.setenv("ASHDRAFT_ARCHIVE", "~/a.sqlite")
    assert default_archive() == Path.home() / "a.sqlite"


def test_every_table_and_column_is_documented(archive: Path) -> None:
    add(archive, [entry(1)])
    rows = re.findall(r"^\| `(\w+)` \| (.*) \|$", DOC.partition("## Schema 1")[2], re.M)
    documented = {name: set(re.findall(r"`(\w+)`", text)) for name, text in rows}
    with closing(sqlite3.connect(archive)) as connection:
        tables = [
            name
            for (name,) in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' "
                "AND name NOT GLOB 'words_*' AND name NOT GLOB 'sqlite_*'"
            )
        ]
        assert set(documented) == set(tables)
        for table in tables:
            columns = {row[1] for row in connection.execute(f"PRAGMA table_info({table})")}
            assert columns <= documented[table], table
        assert connection.execute("PRAGMA application_id").fetchone() == (0x41534844,)


def test_the_examples_in_the_docs_run(archive: Path, capsys: pytest.CaptureFixture[str]) -> None:
    add(archive, [entry(n) for n in range(20)])
    sql, python = (re.search(rf"```{k}\n(.*?)```", DOC, re.S) for k in ("sql", "python"))
    assert sql
    assert python
    with closing(sqlite3.connect(archive)) as connection:
        rows = connection.execute(sql.group(1)).fetchall()
    space: dict[str, object] = {}
    exec(python.group(1), space)
    assert rows
    assert space["number"]
