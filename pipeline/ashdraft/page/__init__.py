"""The draft for readers: one HTML page, a word-processor document, a PDF."""

from .html import page_html
from .media import Clip, Playable, playable

__all__ = ["Clip", "Playable", "page_html", "playable"]
