"""From speech to sentences: the speaker's own words, made readable, never paraphrased."""

from __future__ import annotations

from collections.abc import Sequence

from .figures import in_figures
from .fillers import without_fillers
from .pieces import Piece, join, split
from .restarts import without_restarts
from .sentences import is_raw, punctuated
from .withdrawn import without_withdrawn

__all__ = ["tidy"]


def tidy(said: str) -> str:
    """Return `said` as it would be written: fillers, restarts and withdrawn words gone.

    Every word of the result stands in `said`, in the same order; only numbers may be written
    in figures, or stand where the number was that they correct. Tidying twice changes nothing.
    The result is empty only where `said` holds no words but hesitations. Never raises.
    """
    text = said
    while (tidied := _once(text)) != text:
        text = tidied
    return text


def _once(text: str) -> str:
    pieces = split(text)
    raw = is_raw(pieces)
    kept: Sequence[Piece] = without_restarts(without_fillers(pieces, raw))
    kept = without_restarts(without_withdrawn(kept, raw))
    return in_figures(join(punctuated(kept, raw)))
