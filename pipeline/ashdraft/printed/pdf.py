"""The blank sheet as a PDF of one page, its letters embedded, ready for any printer."""

from __future__ import annotations

from datetime import UTC, datetime

from .fonts import FAMILY, add_fonts
from .paper import Box, Sheet, Text

FIXED_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""Written as the day of making, so that the same sheet gives the same bytes."""


def sheet_pdf(sheet: Sheet) -> bytes:
    """Return the page as a PDF file in black."""
    from fpdf import FPDF

    pdf = FPDF(unit="mm", format=sheet.size)
    pdf.set_creation_date(FIXED_DAY)
    pdf.set_title(sheet.title)
    pdf.set_lang("en")
    pdf.set_auto_page_break(False)
    pdf.set_margin(0)
    pdf.c_margin = 0
    add_fonts(pdf)
    pdf.add_page()
    for item in sheet.items:
        if isinstance(item, Text):
            pdf.set_font(FAMILY, "B" if item.bold else "", item.points)
            shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor]
            pdf.text(item.x - shift * pdf.get_string_width(item.words), item.y, item.words)
        elif isinstance(item, Box):
            pdf.set_line_width(item.stroke)
            pdf.rect(item.x, item.y, item.width, item.height)
        else:
            pdf.set_line_width(item.width)
            pdf.line(item.x, item.y, item.x + item.dx, item.y + item.dy)
    return bytes(pdf.output())
