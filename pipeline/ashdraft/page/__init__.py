"""The draft for readers: one HTML page, a word-processor document, a PDF."""

from .document import read_text
from .docx import draft_docx
from .embedded import clips_of
from .html import page_html
from .media import Clip, Playable, playable
from .pdf import draft_pdf

__all__ = [
    "Clip",
    "Playable",
    "clips_of",
    "draft_docx",
    "draft_pdf",
    "page_html",
    "playable",
    "read_text",
]
