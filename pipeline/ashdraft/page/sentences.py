"""Sentences of a page: whose they are, and the time that plays each of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from html import escape
from typing import TYPE_CHECKING

from ..assemble.times import CLOCK, Timed, clock
from ..model import Utterance
from .document import Document
from .media import Playable, at

if TYPE_CHECKING:
    from markdown_it.token import Token

ROUNDED = 0.06
"""Seconds by which a time in the draft may differ from that in the notes (one decimal)."""
_BREAKS = ("softbreak", "hardbreak")


@dataclass(slots=True)
class Times:
    """Writes the times of a page as links that play, where there is something to play.

    `clips` are the ids of the sentences of which a clip is embedded.
    """

    recordings: Sequence[Playable]
    clips: frozenset[int] = frozenset()
    sentences: Mapping[int, Utterance] = field(default_factory=dict)
    at_clock: dict[str, Utterance] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Keep the first sentence at each clock time, for times in the tool's own lines."""
        for utterance in self.sentences.values():
            self.at_clock.setdefault(clock(utterance.start), utterance)

    def of(self, timed: Timed) -> str:
        """Return the time of a sentence; the notes know it more closely than the draft."""
        exact = self.sentences.get(timed.utterance)
        if exact is None or abs(exact.start - timed.start) > ROUNDED:
            return self.link(timed.utterance, timed.start, timed.end, clock(timed.start))
        return self.link(exact.id, exact.start, exact.end, clock(exact.start))

    def link(self, utterance: int, start: float, end: float, words: str) -> str:
        """Return a time as HTML: a link, or plain text where nothing can be played."""
        recording = at(self.recordings, start)
        shown = escape(words)
        if recording is None and utterance not in self.clips:
            return f'<span class="t">{shown}</span>'
        href = recording.at(start, end) if recording else f"#u{utterance}"
        offset = max(0.0, start - recording.offset) if recording else 0.0
        name = recording.name if recording else ""
        return (
            f'<a class="t" href="{escape(href)}" data-u="{utterance}" data-at="{offset:.1f}" '
            f'data-start="{start:.1f}" data-name="{escape(name)}" '
            f'aria-label="Play from {shown}">{shown}</a>'
        )

    def linked(self, text: str) -> str:
        """Return text of the tool's as HTML, the times of sentences in it as links."""
        parts, end = [], 0
        for match in CLOCK.finditer(text):
            if utterance := self.at_clock.get(match[0]):
                link = self.link(utterance.id, utterance.start, utterance.end, match[0])
                parts += [escape(text[end : match.start()]), link]
                end = match.end()
        return "".join([*parts, escape(text[end:])])


def marked(document: Document, times: Times) -> list[Token]:
    """Return the document's tokens with each sentence's time before it.

    Paragraphs, lists and tables of the tool's get the class `tool`, and so do its lines in a
    paragraph that the speaker's sentences follow.
    """
    found: list[Token] = []
    tool: list[str] = []
    for token in document.tokens:
        token = copy(token)
        if token.type in ("bullet_list_open", "ordered_list_open", "table_open"):
            tool.append(token.type)
        elif token.type in ("bullet_list_close", "ordered_list_close", "table_close"):
            tool.pop()
        elif token.type == "inline" and token.children:
            if tool:
                token.children = [_timed(child, times) for child in token.children]
            elif found[-1].type == "paragraph_open":
                lines = list(_lines(token.children))
                if all(_is_tool(line) for _, line in lines):
                    found[-1].attrJoin("class", "tool")
                    token.children = [_timed(child, times) for child in token.children]
                else:
                    first = document.first + (token.map[0] if token.map else 0)
                    token.children = _sentences(lines, first, document, times)
        found.append(token)
    return found


def _sentences(
    lines: Sequence[tuple[int, list[Token]]], first: int, document: Document, times: Times
) -> list[Token]:
    children: list[Token] = []
    for number, line in lines:
        spoken = document.times.get(first + number, ())
        if spoken:
            links = "".join(times.of(sentence) for sentence in spoken)
            children.append(_html(f'<span class="said" id="u{spoken[0].utterance}">{links}'))
        elif _is_tool(line):
            line = [copy(child) for child in line]
            next(child for child in line if child.type == "em_open").attrSet("class", "tool")
        ends = line[-1].type in _BREAKS
        children += line[:-1] if ends else line
        if spoken:
            children.append(_html("</span>"))
        children += line[-1:] if ends else []
    return children


def _lines(children: Sequence[Token]) -> Iterator[tuple[int, list[Token]]]:
    """Yield the children line by line, with the line's number and its break at the end.

    A form that runs over lines, such as a link, stays whole with the line it begins on.
    """
    line: list[Token] = []
    depth, number, begun = 0, 0, 0
    for child in children:
        line.append(child)
        depth += child.nesting
        if child.type in _BREAKS:
            number += 1
            if not depth:
                yield begun, line
                line, begun = [], number
    if line:
        yield begun, line


def _is_tool(line: Sequence[Token]) -> bool:
    """True for a line that is all emphasis (docs/draft.md, "Whose words")."""
    inner = line[:-1] if line[-1].type in _BREAKS else line
    if len(inner) < 2 or (inner[0].type, inner[-1].type) != ("em_open", "em_close"):
        return False
    depth = 0
    for token in inner[:-1]:
        depth += token.nesting
        if depth == 0:
            return False
    return True


def _timed(child: Token, times: Times) -> Token:
    if child.type != "text" or not CLOCK.search(child.content):
        return child
    return _html(times.linked(child.content))


def _html(content: str) -> Token:
    from markdown_it.token import Token

    return Token("html_inline", "", 0, content=content)
