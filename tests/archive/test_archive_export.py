"""The archive as files: RFC 4180, no formulas, and notes.json to the letter."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from ashdraft.archive import Entry, add, export_csv, export_json, export_notes
from ashdraft.archive.export import GUARDED, TABLES, guarded, write_new
from ashdraft.errors import ArchiveUnusable, OutputRefused, UsageError
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.archive.made import document, entry

FIELD = rb'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
RECORDS = re.compile(rb"(?:%s(?:,%s)*\r\n)+" % (FIELD, FIELD))
"""The grammar of RFC 4180, section 2, with an ending line break and any text in quotes."""


@pytest.fixture
def archive(tmp_path: Path) -> Path:
    path = tmp_path / "archive.sqlite"
    odd = document(2)
    odd["descriptors"][0]["quote"] = '=HYPERLINK("x"), "said"\r\nand more'
    odd["descriptors"][1]["quote"] = "'tis cedar"
    typed = {"name": "+Lantern, No. 3", "note": "@home"}
    add(path, [entry(1), Entry("/somewhere", json.dumps(odd), "-odd", None, typed), entry(3)])
    return path


@pytest.mark.parametrize("table", TABLES)
def test_csv_is_of_rfc_4180(archive: Path, table: str) -> None:
    text = export_csv(archive, table)
    assert RECORDS.fullmatch(text.encode("utf-8"))
    head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert rows
    assert {len(row) for row in rows} == {len(head)}


def test_no_text_in_csv_is_a_formula(archive: Path) -> None:
    """The first characters are those of OWASP, CSV Injection."""
    texts = [export_csv(archive, table) for table in TABLES]
    cells = [c for t in texts for row in csv.reader(io.StringIO(t, newline="")) for c in row]
    assert not [c for c in cells if c[:1] and c[0] in "=+-@\t\r\n＝＋－＠"]
    assert {"'+Lantern, No. 3", "'@home", "'-odd", "''tis cedar"} <= set(cells)


@settings(max_examples=50, deadline=None)
@given(st.text() | st.sampled_from(GUARDED).flatmap(lambda c: st.text().map(lambda t: c + t)))
def test_one_apostrophe_off_gives_the_text(text: str) -> None:
    cell = guarded(text)
    assert cell[:1] not in ("=", "+", "-", "@", "\t", "\r", "\n")
    assert cell.removeprefix("'") == text


def test_numbers_stay_numbers() -> None:
    assert [guarded(v) for v in (-1.5, 3, None)] == [-1.5, 3, None]


def test_rows_of_the_table_that_was_asked_for(archive: Path) -> None:
    rows = list(csv.DictReader(io.StringIO(export_csv(archive, "descriptor"), newline="")))
    assert [r["term"] for r in rows if r["session"] == "1"] == [
        d["term"] for d in document(1)["descriptors"]
    ]
    with pytest.raises(UsageError, match="sqlite_master"):
        export_csv(archive, "sqlite_master")


def test_json_holds_all_there_is(archive: Path) -> None:
    whole = json.loads(export_json(archive))
    assert (whole["format"], whole["version"]) == ("ashdraft-archive", 1)
    assert [s["id"] for s in whole["sessions"]] == [1, 2, 3]
    assert whole["sessions"][0]["notes"] == document(1)
    assert whole["sessions"][1]["name"] == "+Lantern, No. 3"


def test_notes_come_back_byte_for_byte(tmp_path: Path) -> None:
    path = tmp_path / "archive.sqlite"
    texts = [json.dumps(document(n), indent=n, ensure_ascii=n > 1) + "\r\n" * n for n in (1, 2, 3)]
    add(path, [Entry("/somewhere", text, "T") for text in texts])
    assert list(export_notes(path).values()) == [text.encode("utf-8") for text in texts]
    again = tmp_path / "again.sqlite"
    add(again, [Entry("/somewhere", d.decode(), "T") for d in export_notes(path).values()])
    assert export_notes(again) == export_notes(path)


def test_damaged_notes_are_said(archive: Path) -> None:
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(archive, isolation_level=None)) as connection:
        connection.execute("UPDATE document SET notes = '{' WHERE session = 1")
    with pytest.raises(ArchiveUnusable, match="is damaged"):
        export_json(archive)


def test_nothing_is_written_over(tmp_path: Path) -> None:
    file = tmp_path / "new" / "a.csv"
    write_new(file, b"1")
    with pytest.raises(OutputRefused, match="there already"):
        write_new(file, b"2")
    assert file.read_bytes() == b"1"
    write_new(file, b"2", force=True)
    assert file.read_bytes() == b"2"
    with pytest.raises(OutputRefused, match="cannot be written"):
        write_new(file / "b.csv", b"3")
