"""Reading text files that people hand in: encodings, line ends, and faults with their line."""

from __future__ import annotations

import codecs
import re
from pathlib import Path

from ..errors import InputMissing, NotMedia, TranscriptDamaged
from .names import shown

_LARGEST = 64 * 1024 * 1024
# Control characters, and those by which text turns its own direction round (UAX #9, 2.1 to 2.4).
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


class Fault(Exception):
    """What is wrong with a text file, and on which line (counted from 1)."""

    def __init__(self, line: int, what: str) -> None:
        super().__init__(what)
        self.line = line
        self.what = what


def read_text(path: Path) -> str:
    """The file as text with LF line ends, without a byte order mark.

    UTF-8, or UTF-16 when a byte order mark says so. Raises InputMissing, NotMedia (empty) or
    TranscriptDamaged (other encodings, with the line).
    """
    try:
        size = path.stat().st_size
        if size > _LARGEST:
            raise TranscriptDamaged(
                f"{shown(path)} is {size // 1_000_000} MB, too large for a transcript.",
                "Give the transcript of one session.",
            )
        raw = path.read_bytes()
    except OSError as error:
        raise InputMissing(
            f"{shown(path)} cannot be read ({error.strerror}).", "Check the path and its rights."
        ) from error
    if not raw.strip():
        raise NotMedia(f"{shown(path)} is empty.", "Give a transcript that holds words.")
    wide = raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = raw.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise damaged(path, Fault(line, "this is not UTF-8 text")) from error
    return text.replace("\r\n", "\n").replace("\r", "\n")


def damaged(path: Path, fault: Fault) -> TranscriptDamaged:
    """The error for a fault in `path`."""
    return TranscriptDamaged(
        f"{shown(path)}, line {fault.line}: {fault.what}.", "Mend that line, or export it again."
    )


def clean(text: str) -> str:
    """One line of words: runs of space become one; control characters show as U+FFFD.

    WebVTT asks for U+FFFD in place of NUL; the other control characters could reach a
    terminal, or show words in another order than they were said, so they are treated alike.
    """
    return " ".join(_CONTROLS.sub("\N{REPLACEMENT CHARACTER}", text).split())
