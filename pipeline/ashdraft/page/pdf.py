"""The draft as a PDF to read on paper, by fpdf2, its letters embedded."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..assemble.score import HEAD
from ..printed.fonts import FAMILY, add_fonts
from ..printed.paper import PAPERS, POINT, Paper
from ..printed.pdf import FIXED_DAY
from .blocks import Block, Run, Table, blocks, plain
from .document import read_draft

if TYPE_CHECKING:
    from fpdf import FPDF

MARGIN = 20.0
BODY, SMALL = 10.5, 8.5
LEADING = 1.45
HEADINGS = {1: 17.0, 2: 14.0, 3: 11.5}
SPACE = 2.0
INDENT = 5.0
SCORE_WIDTHS = (15, 19, 9, 9, 48)


def draft_pdf(draft: str, paper: Paper = "a4") -> bytes:
    """Return the draft, as it may have been edited, as a PDF file.

    Times of sentences, which stand after the text, are left out. Letters that the typeface has
    not (docs/page.md) become empty boxes. The same draft gives the same bytes.
    """
    from fpdf import FPDF

    source = read_draft(draft)
    pdf = FPDF(unit="mm", format=PAPERS[paper])
    pdf.set_creation_date(FIXED_DAY)
    pdf.set_title(source.title)
    pdf.set_lang("en")
    pdf.set_margins(MARGIN, MARGIN)
    pdf.set_auto_page_break(True, MARGIN)
    add_fonts(pdf, "regular bold italic bold-italic")
    pdf.add_page()
    _written(pdf, (Run(source.title, bold=True),), 20.0)
    for block in blocks(source):
        if isinstance(block, Table):
            _table(pdf, block)
        else:
            _block(pdf, block)
    return bytes(pdf.output())


def _block(pdf: FPDF, block: Block) -> None:
    if block.kind == "rule":
        pdf.line(MARGIN, pdf.y, pdf.w - MARGIN, pdf.y)
        pdf.ln(SPACE)
    elif block.kind == "heading":
        points = HEADINGS.get(block.level, BODY)
        _keep(pdf, 3 * points * POINT * LEADING)
        pdf.ln(SPACE * 1.5)
        if block.level <= 2:
            pdf.set_line_width(0.5)
            pdf.line(MARGIN, pdf.y, pdf.w - MARGIN, pdf.y)
            pdf.ln(SPACE)
        _written(pdf, tuple(Run(r.text, True, r.italic) for r in block.runs), points)
    elif block.kind == "item":
        pdf.set_left_margin(MARGIN + INDENT * block.level)
        pdf.set_x(MARGIN + INDENT * (block.level - 0.9))
        pdf.set_font(FAMILY, "", BODY)
        pdf.cell(INDENT * 0.9, BODY * POINT * LEADING, block.mark)
        _written(pdf, block.runs, BODY)
    else:
        pdf.set_left_margin(MARGIN + (INDENT if block.kind != "text" else 0))
        pdf.set_x(pdf.l_margin)
        _written(pdf, block.runs, SMALL if block.kind == "code" else BODY)
    pdf.set_left_margin(MARGIN)
    pdf.set_x(MARGIN)


def _written(pdf: FPDF, runs: Sequence[Run], points: float) -> None:
    for run in runs:
        pdf.set_font(FAMILY, ("B" if run.bold else "") + ("I" if run.italic else ""), points)
        pdf.write(points * POINT * LEADING, run.text)
    pdf.ln(points * POINT * LEADING + SPACE / 2)


def _keep(pdf: FPDF, height: float) -> None:
    """Begin a new page where less than `height` is left of this one."""
    if pdf.will_page_break(height):
        pdf.add_page()


def _table(pdf: FPDF, table: Table) -> None:
    from fpdf.enums import TableBordersLayout
    from fpdf.fonts import FontFace

    head = tuple(plain(cell) for cell in table.rows[0])
    pdf.set_font(FAMILY, "", SMALL)
    pdf.set_line_width(0.2)
    with pdf.table(
        align="LEFT",
        text_align="LEFT",
        line_height=SMALL * POINT * LEADING,
        padding=0.8,
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        headings_style=FontFace(emphasis="BOLD"),
        col_widths=SCORE_WIDTHS if head == HEAD else None,
        v_align="TOP",
    ) as drawn:
        for cells in table.rows:
            row = drawn.row()
            for cell in cells:
                row.cell(plain(cell))
    pdf.ln(SPACE * 1.5)
