"""A draft as lines that keep every byte: line ends of any kind, a byte order mark, no last end."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..errors import DataDamaged

_LINE = re.compile(r"[^\r\n]*(?:\r\n?|\n)|[^\r\n]+\Z")
_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Text:
    """`lines` with their line ends as they are in the file, `end` the one that new lines get.

    `front` is the number of lines of the front matter with both its fences, 0 without one.
    """

    name: str
    lines: tuple[str, ...]
    end: str
    front: int
    mark: bool = False

    @property
    def data(self) -> bytes:
        return ((_MARK if self.mark else "") + "".join(self.lines)).encode()

    @property
    def body(self) -> str:
        """The text for a Markdown reader: line numbers are kept, the front matter is blank."""
        kept = ("\n" if n < self.front else bare(line) + "\n" for n, line in enumerate(self.lines))
        return "".join(kept)

    def with_front(self, front: int) -> Text:
        """Return the text with another length of its front matter."""
        return replace(self, front=front)

    def with_lines(self, first: int, stop: int, new: Sequence[str]) -> Text:
        """Return the text with `new` lines (without ends) for those from `first` to `stop`."""
        made = [f"{line}{self.end}" for line in new]
        before = list(self.lines[:first])
        after = self.lines[stop:]
        if made and before and bare(before[-1]) == before[-1]:  # the file ends without a line end
            before[-1] += self.end
        if made and not after and stop and bare(self.lines[stop - 1]) == self.lines[stop - 1]:
            made[-1] = new[-1]
        return replace(self, lines=(*before, *made, *after))


def read(name: str, data: bytes) -> Text:
    """Return the lines of a draft. Raises `DataDamaged` where it is no text, naming the line."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        line = len(_LINE.findall(data[: fault.start].decode("utf-8") + "x"))
        raise DataDamaged(
            f"{name}, line {line}: this is not UTF-8 text.", "Save the file as UTF-8 text."
        ) from fault
    mark = text.startswith(_MARK)
    lines = tuple(_LINE.findall(text.removeprefix(_MARK)))
    end = lines[0][len(bare(lines[0])) :] if lines else ""
    return Text(name, lines, end or "\n", _front(name, lines), mark)


def bare(line: str) -> str:
    """Return a line without its end."""
    return line.rstrip("\r\n")


def _front(name: str, lines: Sequence[str]) -> int:
    if not lines or lines[0].rstrip() != "---":
        return 0
    for n, line in enumerate(lines[1:], start=2):
        if line.rstrip() in ("---", "..."):
            return n
    raise DataDamaged(
        f"{name}, line 1: the front matter is not closed.",
        "Type a line of three dashes, ---, below its last line.",
    )
