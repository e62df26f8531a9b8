"""The speaker's sentences as paragraphs: one utterance a line, nothing added, nothing left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..model import Utterance
from ..rules.numbers import read_numbers
from ..tidy.vocabulary import vocabulary
from .markdown import escape

LONG = 90
"""Words after which a paragraph ends at the next sentence."""
ENOUGH = 40
"""Words after which it ends at a silence too."""
SILENCE = 45.0
"""Seconds without speech that end a paragraph of enough words."""
REST = 25
"""A paragraph does not end where fewer words than this are left."""


def prose(utterances: Sequence[Utterance], label: str = "") -> str:
    """Return the sentences as Markdown paragraphs; `label` is a first line of the tool's."""
    paragraphs = list(_paragraphs(utterances))
    texts = ["\n".join(_lines(p)) for p in paragraphs]
    if label and texts:
        texts[0] = f"{label}\n{texts[0]}"
    return "\n\n".join(texts)


def _paragraphs(utterances: Sequence[Utterance]) -> Iterator[list[Utterance]]:
    paragraph: list[Utterance] = []
    words, left = 0, sum(len(u.text.split()) for u in utterances)
    for utterance in utterances:
        if paragraph and left >= REST and not _goes_on(paragraph[-1], utterance):
            silence = utterance.start - paragraph[-1].end
            if words >= LONG or (words >= ENOUGH and silence >= SILENCE):
                yield paragraph
                paragraph, words = [], 0
        paragraph.append(utterance)
        own = len(utterance.text.split())
        words, left = words + own, left - own
    if paragraph:
        yield paragraph


def _lines(paragraph: Iterable[Utterance]) -> list[str]:
    """One line for each sentence; utterances that a cut parted stand on one line."""
    lines: list[str] = []
    before: Utterance | None = None
    for utterance in paragraph:
        if before and _goes_on(before, utterance):
            lines[-1] = f"{_opened(lines[-1], before)} {_continued(utterance)}"
        else:
            lines.append(escape(utterance.text))
        before = utterance
    return lines


def _goes_on(before: Utterance, utterance: Utterance) -> bool:
    """True where an utterance stops in the middle of a sentence and the next one goes on."""
    if utterance.id != before.id + 1 or not utterance.said[:1].islower():
        return False
    tail = before.said.rstrip()[-1:]
    if tail in "….!?":
        return False
    if before.text.endswith("…") or before.said[:1].isupper():
        return True
    words = vocabulary()
    first = utterance.said.split()[0].lower()
    amount = first in words.units and bool(read_numbers(before.said.split()[-1]))
    return amount or first in words.continuing


def _opened(line: str, before: Utterance) -> str:
    """A line without the stop that tidying gave it."""
    comma = before.said.rstrip()[-1:]
    return line.rstrip("…. ") + (comma if comma in ",;:" else "")


def _continued(utterance: Utterance) -> str:
    """An utterance as the second half of a sentence."""
    text = utterance.text
    first = text.split()[0].lower().rstrip(".,;:!?…").removesuffix("'s")
    written = (first,) in vocabulary().capitals or first.split("'")[0].split("’")[0] == "i"
    return escape(text if written else text[:1].lower() + text[1:])
