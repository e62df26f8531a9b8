"""Short clips: every quote as evidence, and the stretches worth showing."""

from .cut import MEDIA_TYPE, cut, cut_all
from .folder import Clips, Quote, cut_folder, quotes
from .highlights import Highlight, highlights

__all__ = [
    "MEDIA_TYPE",
    "Clips",
    "Highlight",
    "Quote",
    "cut",
    "cut_all",
    "cut_folder",
    "highlights",
    "quotes",
]
