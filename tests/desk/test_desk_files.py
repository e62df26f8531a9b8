"""Chapters, captions and files of a session, as they are after the changes made at the desk."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest

from tests.desk.made import notes
from tests.desk.pages import Page, page


@pytest.fixture
def desk(tmp_path: Path) -> Page:
    return page(tmp_path, notes())


def test_the_page_settles_everything_before_it_shows_it(desk: Page) -> None:
    desk.change("correct", 5, was="gentle", now="sudden", nth=0)
    shown = desk.get("/files").text
    assert "A sudden end." in shown
    for name in ("draft.md", "draft.html", "captions.vtt", "captions.srt"):
        assert f"{desk.base}/file/{name}" in shown
        taken = desk.get(f"/file/{name}")
        assert "sudden" in taken.text, name
        assert taken.headers["content-disposition"] == f'attachment; filename="{name}"'
        assert taken.content == (desk.folder / name).read_bytes()
    assert desk.get("/file/journal.jsonl").text.count("\n") == 1


def test_a_draft_edited_by_hand_is_named_and_the_new_one_is_there_to_take(desk: Page) -> None:
    edited = desk.draft.replace("A gentle end.", "My own last words.")
    (desk.folder / "draft.md").write_text(edited, "utf-8")
    desk.change("strike", 0)
    shown = desk.get("/files").text
    assert "draft.md was edited by hand" in shown
    assert "My own last words." in desk.get("/file/draft.md").text
    assert "My own last words." not in desk.get("/file/draft.new.md").text


def test_documents_are_made_of_the_draft_as_it_stands(desk: Page) -> None:
    """A .docx is a ZIP with word/document.xml (ECMA-376 part 2); a PDF begins %PDF- (ISO 32000)."""
    desk.change("correct", 5, was="gentle", now="sudden", nth=0)
    document = zipfile.ZipFile(io.BytesIO(desk.get("/file/draft.docx").content))
    assert b"A sudden end." in document.read("word/document.xml")
    assert desk.get("/file/draft.pdf").content.startswith(b"%PDF-")


@pytest.mark.parametrize(
    "name", [".ashdraft", "said.json", "..%2fstick.wav", "%2e%2e", "draft.new.md", "x.docx"]
)
def test_other_names_are_no_files(desk: Page, name: str) -> None:
    (desk.folder / "said.json").write_text("secret", "utf-8")
    assert desk.get(f"/file/{name}").status_code in (404, 307)
    assert "secret" not in desk.get(f"/file/{name}").text


def test_every_caption_and_chapter_plays(desk: Page) -> None:
    shown = desk.get("/files").text
    starts = [float(s) for s in re.findall(r'<a class="t"[^>]*data-start="([\d.]+)"', shown)]
    assert len(starts) >= 6
    assert set(starts) >= {6.0 * n for n in range(6)}
