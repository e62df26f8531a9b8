"""The blank sheet as an HTML page that prints on exactly one sheet of paper."""

from __future__ import annotations

import base64
import hashlib
from html import escape

from ..charts.svg import element, label, number, picture
from .paper import POINT, Box, Sheet, Stroke, Text

SCREEN = (
    "body{margin:0;background:#fff;color:#000}svg{display:block;margin:0 auto;max-width:100%;"
    "height:auto}h1{position:absolute;clip-path:inset(50%);width:1px;height:1px;margin:0;"
    "overflow:hidden}"
)


def sheet_html(sheet: Sheet) -> str:
    """Return the page: one picture in millimetres, black on white, nothing loaded."""
    width, height = sheet.size
    size = f"{number(width)}mm {number(height)}mm"
    style = (
        f"@page{{size:{size};margin:0}}{SCREEN}"
        f"@media print{{svg{{width:{number(width)}mm;height:{number(height - 0.5)}mm}}}}"
    )
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'"
    words = "; ".join(item.words for item in sheet.items if isinstance(item, Text))
    drawn = picture("sheet", sheet.title, words, width, height, *(_drawn(i) for i in sheet.items))
    drawn = drawn.replace(f'height="{number(height)}"', f'height="{number(height)}mm"', 1)
    drawn = drawn.replace(f'width="{number(width)}"', f'width="{number(width)}mm"', 1)
    return "\n".join(
        [
            "<!doctype html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{policy}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(sheet.title)}</title>",
            f"<style>{style}</style>",
            "</head>",
            f"<body><main><h1>{escape(sheet.title)}</h1>{drawn}</main></body>",
            "</html>\n",
        ]
    )


def _drawn(item: Text | Stroke | Box) -> str:
    if isinstance(item, Text):
        weight = {"font_weight": "bold"} if item.bold else {}
        return label(
            item.x, item.y, item.words, font_size=item.points * POINT, text_anchor=item.anchor,
            **weight,
        )  # fmt: skip
    if isinstance(item, Box):
        return element(
            "rect", x=item.x, y=item.y, width=item.width, height=item.height, fill="none",
            stroke="currentColor", stroke_width=item.stroke,
        )  # fmt: skip
    path = f"M{number(item.x)} {number(item.y)}l{number(item.dx)} {number(item.dy)}"
    return element("path", d=path, stroke="currentColor", stroke_width=item.width)
