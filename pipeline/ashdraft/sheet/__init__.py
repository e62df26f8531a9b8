"""The score sheet: its definition, and the sheet filled with what a recording holds for it."""

from .definition import Evidence, FilledRow, FilledSheet, SheetDefinition
from .fill import fill
from .keep import copy_of
from .load import load_sheet

__all__ = [
    "Evidence",
    "FilledRow",
    "FilledSheet",
    "SheetDefinition",
    "copy_of",
    "fill",
    "load_sheet",
]
