"""A draft without name, maker and price, and the way back: `seal` and `unseal`.

Each withheld piece of the finished draft is cut out as it stands, and a token put in its place
(`withheld-1a2b3c4d-7`); the pieces are kept in the folder's `.ashdraft`. So a blind draft can be
edited like any other, and closing puts each piece back where its token stands now.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from ..assemble.markdown import plain
from ..errors import InputMissing
from ..facts import words
from ..model import Notes
from ..sheet.printed import heading
from .secrets import PRICED, WITHHELD, Secrets, plain_words, secrets
from .text import Text, bare, read

_TOKEN = re.compile(r"(\*?)withheld-([0-9a-f]{8})-(\d+)\1")
_DEFINITION = re.compile(r'\[u(\d+)\]: <#t=[\d.,]+> "[\d:]+ (.*)"$')
_FACT = re.compile(r"\| ([^|]+) \| (.*) \| [^|]* \|$")
_ROW = re.compile(r"\| [^|]+ \| [^|]+ \| [\d.]+ \| [^|]* \| (.*) \|$")
_LISTED = re.compile(r"(?:[->] )(.+)$")
_ABOUT = frozenset(plain_words(words(key)) for key in PRICED)
_HIDDEN = ("title", "recordings")
"""Keys of the front matter that are withheld always: both are made from names of files."""

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sealed:
    """A blind draft, and under `key` the pieces that its tokens stand for."""

    text: str
    key: str
    pieces: tuple[str, ...]

    @property
    def kept(self) -> tuple[str, str]:
        """Name and text of the file in `.ashdraft` that holds the pieces."""
        return _file(self.key), json.dumps(self.pieces, ensure_ascii=False, indent=1) + "\n"


def seal(draft: str, notes: Notes) -> Sealed:
    """Return a draft without what tells name, maker or price. `unseal` undoes it to the byte."""
    text = read("draft", draft.encode())
    kept = secrets(notes)
    key = hashlib.sha256(draft.encode()).hexdigest()[:8]
    pieces: list[str] = []
    made = []
    fronts = dict(_front(text, kept))
    for n, line in enumerate(text.lines):
        spans = fronts.get(n, []) if n < text.front else list(_spans(bare(line), kept))
        for first, stop in sorted(spans, reverse=True):
            token = f"withheld-{key}-{len(pieces)}"
            whole = (first, stop) == (0, len(bare(line)))
            pieces.append(line[first:stop])
            line = f"{line[:first]}{f'*{token}*' if whole else token}{line[stop:]}"
        made.append(line)
    return Sealed("".join(made), key, tuple(pieces))


def is_sealed(text: str) -> bool:
    """True for a draft in which something is withheld."""
    return bool(_TOKEN.search(text))


def unseal(text: str, work: Path) -> str:
    """Return a draft with every piece put back where its token stands.

    Raises `InputMissing` where `work` (the folder's `.ashdraft`) does not hold the pieces.
    """
    held = {key: _pieces(work, key) for key in {match[2] for match in _TOKEN.finditer(text)}}

    def piece(match: re.Match[str]) -> str:
        pieces = held[match[2]]
        return pieces[int(match[3])] if int(match[3]) < len(pieces) else match[0]

    return _TOKEN.sub(piece, text)


def _pieces(work: Path, key: str) -> list[str]:
    try:
        found = json.loads((work / _file(key)).read_text("utf-8"))
    except (OSError, ValueError):
        raise InputMissing(
            f"What this draft withholds is not in {work}.",
            "Move the draft back into the folder that ashdraft write has made, and close it there.",
        ) from None
    return [str(piece) for piece in found]


def _file(key: str) -> str:
    return f"withheld-{key}.json"


def _front(text: Text, kept: Secrets) -> Iterator[tuple[int, list[Span]]]:
    """The values of the front matter to withhold, by line. Each stands on a line of its own."""
    above = ""
    for n in range(1, max(text.front - 1, 1)):
        line = bare(text.lines[n])
        match = re.match(r"(\s*)(?:- )?(?:([\w]+):)? ?", line)
        key = (match and match[2]) or ""
        if key and not line.startswith(" "):
            above = key
        first = match.end() if match else 0
        hidden = {key, above} & {*_HIDDEN, *WITHHELD} if above != "sheet" else set()
        known = kept.in_sentence if above == "disclosure" else kept.in_text
        tells = above not in ("sheet", "made_by", "notes") and known(line[first:])
        if first < len(line) and (hidden or tells):
            yield n, [(first, len(line))]


def _spans(line: str, kept: Secrets) -> Iterator[Span]:
    """The pieces of one line to withhold; those who read the sheet back find it whole."""
    if match := _DEFINITION.match(line):
        if int(match[1]) in kept.utterances or kept.in_text(plain(match[2])):
            yield match.span(2)
    elif match := _ROW.match(line):
        yield from _evidence(match[1], match.start(1), kept)
    elif match := _FACT.match(line):
        labels = {heading(key).casefold() for key in WITHHELD}
        if match[1].casefold() in labels or kept.in_text(plain(match[2])):
            yield match.span(2)
    elif match := _LISTED.match(line):
        about = any(f" {word} " in f" {plain_words(match[1])} " for word in _ABOUT)
        if about or kept.in_sentence(plain(match[1])):
            yield match.span(1)
    elif line and not line.startswith(("#", "|", "[")):
        prose = not re.fullmatch(r"\*.*\*", line)
        if kept.in_sentence(plain(line)) if prose else kept.in_text(plain(line)):
            yield 0, len(line)


def _evidence(cell: str, at: int, kept: Secrets) -> Iterator[Span]:
    """The items of a cell of evidence, parted by semicolons."""
    for match in re.finditer(r"(?:^|; )((?:(?!; ).)+)", cell):
        item, start = match[1], at + match.start(1)
        quote = re.sub(r"\([\d:, and more]*\)$", "", plain(item))
        about = any(f" {word} " in f" {plain_words(item)} " for word in _ABOUT)
        if about or kept.in_sentence(quote):
            yield start, start + len(item)
