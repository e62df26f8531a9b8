"""Puts mis-heard trade words right: from what was heard to what was said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..model import Heard, Repair, Said
from .doubt import doubtful
from .repairer import Repairer
from .terms import read_terms

__all__ = ["Repairer", "doubtful", "read_terms", "repair"]


def repair(
    utterances: Sequence[Heard],
    names: Sequence[str] = (),
    terms: Mapping[str, Sequence[str]] | None = None,
) -> tuple[tuple[Said, ...], tuple[Repair, ...]]:
    """Repair mis-hearings of trade terms, tasting notes and the reviewer's own words.

    `names` are words the reviewer typed (the cigar, its maker); `terms` are words of their own
    with what they sound like (see `read_terms`). `said` keeps every other word as it was heard;
    `text` is `said` tidied for reading. Each repair is told with the utterance's number (counted
    from 0), a reason and a confidence (0 to 1); one with `applied` false is only suggested.
    """
    return Repairer(names, terms).repair(utterances)
