"""The few SVG forms that the pictures are made of (W3C SVG 2), as text.

Only presentation attributes are written and no `style`, so that a page with a strict content
policy shows them. Ink is `currentColor`: a picture takes the colour of the text around it and is
black where it stands alone. Text is escaped and control characters are taken out.
"""

from __future__ import annotations

import re
from html import escape

FONT = "ui-sans-serif, system-ui, 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif"
SIZE = 14
"""Height of text in the picture's own units, which are CSS pixels at full size."""
_NOT_XML = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML 1.0 document may hold (W3C XML 1.0, production 2, Char)."""
_WIDE = re.compile(r"[mwMW—@%]")
_NARROW = re.compile(r"[ilj.,:;|!'tfrI() ]")
_FULL = re.compile(
    r"[\u1100-\u11ff\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\uffef\U0001f000-\U0003ffff]"
)


def clean(text: str) -> str:
    """Return `text` as it may stand in an SVG element or a quoted attribute."""
    return escape(_NOT_XML.sub(" ", text))


def number(value: float) -> str:
    """Return a coordinate with at most two decimals and no zeros at the end."""
    return f"{value:.2f}".rstrip("0").rstrip(".").replace("-0", "0" if value == 0 else "-0")


def element(tag: str, content: str = "", /, **attributes: str | float) -> str:
    """Return one element; `_` in an attribute's name is written `-`. `content` is SVG already."""
    written = "".join(
        f' {key.strip("_").replace("_", "-")}="{_value(value)}"'
        for key, value in attributes.items()
    )
    return f"<{tag}{written}>{content}</{tag}>" if content else f"<{tag}{written}/>"


def _value(value: str | float) -> str:
    return clean(value) if isinstance(value, str) else number(value)


def label(x: float, y: float, text: str, /, **attributes: str | float) -> str:
    """Return a line of text with its baseline at (x, y)."""
    return element("text", clean(text), x=x, y=y, **attributes)


def width_of(text: str, size: float = SIZE) -> float:
    """Return about how wide a text will be. Fonts differ; this is on the wide side."""
    ems = 0.62 * len(text) + 0.3 * len(_WIDE.findall(text)) - 0.24 * len(_NARROW.findall(text))
    return size * (ems + 0.4 * len(_FULL.findall(text)))


def shortened(text: str, room: float, size: float = SIZE) -> str:
    """Return `text`, cut with an ellipsis where it would be wider than `room`."""
    if width_of(text, size) <= room:
        return text
    while text and width_of(f"{text}…", size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def picture(
    name: str, title: str, description: str, width: float, height: float, *parts: str
) -> str:
    """Return a whole picture that a screen reader announces by its title and description.

    `name` makes the ids in it different from those of other pictures on the page.
    """
    head = element("title", clean(title), id=f"{name}-title")
    head += element("desc", clean(description), id=f"{name}-desc")
    return element(
        "svg",
        "\n".join([head, *parts]),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        width=width,
        height=height,
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        font_family=FONT,
        font_size=SIZE,
        fill="currentColor",
    )
