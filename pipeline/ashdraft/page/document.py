"""A draft taken apart for showing: its front matter, its Markdown, the times of its lines."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..assemble import HOW_TO_READ, read_times
from ..assemble.times import Timed
from ..errors import InputMissing

if TYPE_CHECKING:
    from markdown_it.token import Token

WHOSE_WORDS = HOW_TO_READ.partition(" When ")[0]
"""How to read a draft, without what it says of times: for documents that do not hold them."""
_FRONT = re.compile(r"\A---\n(.*?\n)---\n", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Document:
    """`front` is the front matter; `tokens` are markdown-it's, their lines counted from `first`.

    `times` maps a line of the file (from 1) to the sentences in it.
    """

    front: Mapping[str, Any]
    tokens: tuple[Token, ...]
    first: int
    times: Mapping[int, tuple[Timed, ...]]

    @property
    def title(self) -> str:
        """The title in the front matter, or `Draft`."""
        title = self.front.get("title")
        return title if isinstance(title, str) and title.strip() else "Draft"


def read_text(path: Path) -> str:
    """Return the text of a draft. Raises `InputMissing` where it cannot be read."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except OSError as fault:
        raise InputMissing(
            f"{path} cannot be read: {fault.strerror}.", "Name the folder that holds the draft."
        ) from fault
    except UnicodeDecodeError as fault:
        raise InputMissing(f"{path} is not UTF-8 text.", "Save it as UTF-8.") from fault


def parser() -> Any:
    """Return markdown-it with the preset for text that is not trusted: raw HTML is text."""
    from markdown_it import MarkdownIt

    return MarkdownIt("js-default")


def read_draft(draft: str) -> Document:
    """Take the text of a `draft.md` apart, however it was edited.

    Front matter that is damaged or missing leaves `front` empty; it is never shown as text.
    """
    text = "".join(f"{line}\n" for line in draft.removeprefix("\ufeff").splitlines())
    match = _FRONT.match(text)
    times: dict[int, tuple[Timed, ...]] = {}
    for timed in read_times(text):
        if timed.line is not None:
            times[timed.line] = (*times.get(timed.line, ()), timed)
    return Document(
        front=_front(match[1]) if match else {},
        tokens=tuple(parser().parse(text[match.end() :] if match else text)),
        first=match[0].count("\n") + 1 if match else 1,
        times=times,
    )


def _front(text: str) -> Mapping[str, Any]:
    import yaml

    try:
        front = yaml.safe_load(text)
    except (yaml.YAMLError, ValueError, RecursionError):
        return {}
    return front if isinstance(front, dict) else {}
