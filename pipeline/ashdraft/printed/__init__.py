"""The blank score sheet for use at the table: one page, as HTML and as PDF."""

from .html import sheet_html
from .layout import blank_sheet
from .paper import PAPERS, Paper, Sheet
from .pdf import sheet_pdf

__all__ = ["PAPERS", "Paper", "Sheet", "blank_sheet", "sheet_html", "sheet_pdf"]
