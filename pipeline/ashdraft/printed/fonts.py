"""The typeface of the PDFs: FiraGO (SIL Open Font License 1.1), embedded as far as it is used.

It has Latin, Cyrillic, Greek, Georgian, Arabic, Hebrew, Devanagari and Thai letters.
"""

from __future__ import annotations

import logging
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fpdf import FPDF

FAMILY = "firago"
_FILES = {"": "figo", "B": "figbo", "I": "figit", "BI": "figbi"}


def add_fonts(pdf: FPDF, styles: str = "regular bold") -> None:
    """Make the typeface known to `pdf` as `FAMILY`, in the styles named.

    `styles` holds the words `regular`, `bold`, `italic` and `bold-italic`. From then on fpdf2
    does not log letters that it cannot draw: what was said goes into no log.
    """
    import pymupdf_fonts

    logging.getLogger("fpdf.output").setLevel(logging.ERROR)

    marks = {"regular": "", "bold": "B", "italic": "I", "bold-italic": "BI"}
    with tempfile.TemporaryDirectory() as folder:
        for style in (marks[word] for word in styles.split()):
            path = Path(folder) / f"{_FILES[style]}.ttf"
            path.write_bytes(pymupdf_fonts.myfont(_FILES[style]))
            pdf.add_font(FAMILY, style, path)
