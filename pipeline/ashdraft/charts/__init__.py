"""Pictures as SVG text, made from plain data: black and white first, labelled in place."""

from .families import families_by_third
from .session import session_strip
from .words import family_words

__all__ = ["families_by_third", "family_words", "session_strip"]
