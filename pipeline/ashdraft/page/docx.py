"""The draft as a word-processor document (Office Open XML, ISO/IEC 29500), by python-docx."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from ..assemble.score import HEAD
from ..printed.pdf import FIXED_DAY
from .blocks import Block, Run, Table, blocks, plain
from .document import read_draft

if TYPE_CHECKING:
    from docx.document import Document as Docx

FIRST_ZIP_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest time a ZIP archive can hold (APPNOTE.TXT 4.4.6)."""
WIDTHS = {"Section": 2.4, "Criterion": 3.2, "Weight": 1.5, "Mark": 1.5, "Evidence": 7.9}
"""Centimetres of the score sheet's columns, on A4 with margins of 2.2 cm."""
FACE = "Georgia"
INDENT = 0.6


def draft_docx(draft: str) -> bytes:
    """Return the draft, as it may have been edited, as a .docx file.

    Headings, lists, tables and emphasis are the word processor's own. Times of sentences, which
    stand after the text, are left out. The same draft gives the same bytes.
    """
    from docx import Document
    from docx.shared import Cm, Pt

    source = read_draft(draft)
    made = Document()
    page = made.sections[0]
    page.page_width, page.page_height = Cm(21), Cm(29.7)
    page.left_margin = page.right_margin = Cm(2.2)
    page.top_margin = page.bottom_margin = Cm(2)
    normal: Any = made.styles["Normal"]
    normal.font.name, normal.font.size = FACE, Pt(11)
    properties = made.core_properties
    properties.title = _xml(source.title)[:255]
    properties.author = properties.last_modified_by = ""
    properties.comments = ""
    properties.created = properties.modified = FIXED_DAY.replace(tzinfo=None)
    made.add_heading(_xml(source.title), 0)
    for block in blocks(source):
        if isinstance(block, Table):
            _table(made, block)
        else:
            _paragraph(made, block)
    file = io.BytesIO()
    made.save(file)
    return _undated(file.getvalue())


def _paragraph(made: Docx, block: Block) -> None:
    from docx.shared import Cm

    if block.kind == "heading":
        made.add_heading(_xml(plain(block.runs)), min(block.level, 9))
        return
    styles = {"quote": "Quote", "item": "List Bullet"}
    numbered = block.kind == "item" and block.mark != "\N{BULLET}"
    style = None if numbered else styles.get(block.kind)
    paragraph = made.add_paragraph(style=style)
    if block.kind == "item":
        if numbered:
            paragraph.add_run(f"{block.mark} " if block.mark else "")
        paragraph.paragraph_format.left_indent = Cm(INDENT * block.level)
    _runs(paragraph, block.runs)


def _table(made: Docx, table: Table) -> None:
    from docx.shared import Cm, Pt

    head = [plain(cell) for cell in table.rows[0]]
    drawn = made.add_table(rows=len(table.rows), cols=len(head))
    drawn.style = "Table Grid"
    score = tuple(head) == HEAD
    drawn.autofit = not score
    # python-docx finds a cell by walking the whole table; its rows are walked once here.
    for row, cells in zip(drawn.rows, table.rows, strict=True):
        for name, cell, content in zip(head, row.cells, cells, strict=True):
            if score:
                cell.width = Cm(WIDTHS[name])
            paragraph = cell.paragraphs[0]
            paragraph.paragraph_format.space_after = Pt(0)
            _runs(paragraph, content, bold=cells is table.rows[0], points=9)
    made.add_paragraph()


def _runs(
    paragraph: Any, runs: Sequence[Run], *, bold: bool = False, points: float | None = None
) -> None:
    from docx.shared import Pt

    for run in runs:
        added = paragraph.add_run(_xml(run.text))
        added.bold = True if bold or run.bold else None
        added.italic = True if run.italic else None
        if points:
            added.font.size = Pt(points)


def _xml(text: str) -> str:
    """Return text without what an XML document may not hold (W3C XML 1.0, production 2)."""
    return "".join(c for c in text if c in "\t\n" or (c >= "\x20" and c not in "\ufffe\uffff"))


def _undated(data: bytes) -> bytes:
    """Return a ZIP archive with no day in it."""
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            entry = zipfile.ZipInfo(name, FIRST_ZIP_DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, old.read(name))
    return made.getvalue()
