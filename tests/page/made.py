"""Drafts and pages of labelled recordings, and an HTML reader that shows what a browser would."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser

from ashdraft.assemble import draft
from ashdraft.model import Notes, Reading, Utterance
from ashdraft.page import Playable, page_html
from ashdraft.sheet import fill, load_sheet

from tests.assemble import gold

SOUND = (Playable("../stick.m4a", "stick.m4a", 0.0, 100_000.0),)
VOID = frozenset("area base br col embed hr img input link meta source track wbr".split())
"""Elements without an end tag (HTML Living Standard, 13.1.2)."""


@cache
def notes(name: str = "d01") -> Notes:
    """The notes that the labels of a recording spell out."""
    return gold.notes(gold.reading(name))


def draft_of(made: Notes) -> str:
    """The draft of notes, with the default sheet."""
    return draft(made, fill(load_sheet(), made.reading), caution=True)


def saying(texts: Sequence[str]) -> Notes:
    """Notes of a recording in which `texts` were said, ten seconds apart, about the palate."""
    said = tuple(
        Utterance(n, 10.0 * n + 1, 10.0 * n + 5, text, text, text, "palate", 1, "said", 1.0)
        for n, text in enumerate(texts)
    )
    return gold.notes(Reading("live", said))


@dataclass(slots=True)
class Element:
    """An element with its attributes and the text in it."""

    tag: str
    attributes: dict[str, str]
    text: str = ""


@dataclass
class Shown(HTMLParser):
    """A page read back: every element, and the text outside of style and script."""

    elements: list[Element] = field(default_factory=list)
    text: str = ""

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[Element] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop().tag == tag, f"</{tag}> closes nothing"

    def handle_data(self, data: str) -> None:
        for element in self.open:
            element.text += data
        if not self.open or self.open[-1].tag not in ("style", "script"):
            self.text += data

    def all(self, tag: str, **attributes: str) -> list[Element]:
        """Every element of a tag with these attributes (`class_` for class)."""
        wanted = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
        return [
            e
            for e in self.elements
            if e.tag == tag and all(e.attributes.get(k) == v for k, v in wanted.items())
        ]


def shown(page: str) -> Shown:
    """Read a page; fails where an end tag does not fit."""
    reader = Shown()
    reader.feed(page)
    reader.close()
    assert not reader.open
    return reader


def page_of(made: Notes, **more: object) -> Shown:
    """The page of notes, read back."""
    return shown(page_html(draft_of(made), made, SOUND, **more))  # type: ignore[arg-type]
