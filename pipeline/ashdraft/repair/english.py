"""General English: how common words are, which follow which, and how they sound.

Data: models/ashdraft_models/repair/english.txt and english.npz, made by build_english.py there
from the CMU Pronouncing Dictionary and the US English language model of CMU Sphinx (BSD).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

import ashdraft_models

from ..errors import DataDamaged

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FOLDER = ashdraft_models.ROOT / "repair"
LN10 = 2.302585092994046
UNKNOWN = -8.0
"""Log10 probability of a word that the language model does not list (its rarest have -8.8)."""
_PAIRED = 1 << 14  # words that may stand in a pair
_STEP = 30  # pair probabilities are stored in steps of 1/30 of a power of ten


@dataclass(frozen=True, slots=True)
class English:
    """A bigram model with back-off and a pronouncing dictionary; logarithms to base e."""

    places: dict[str, int]
    alone: list[float]
    backoff: list[float]
    spelt: list[str]
    pairs: dict[int, float]

    def sounds(self, word: str) -> tuple[str, ...]:
        at = self.places.get(word)
        return tuple(self.spelt[at].split()) if at is not None else ()

    def log(self, word: str, before: str) -> float:
        """Natural logarithm of the probability that `word` follows `before`."""
        at = self.places.get(word)
        if at is None:
            return UNKNOWN * LN10
        last = self.places.get(before)
        if last is None:
            return self.alone[at]
        if at < _PAIRED and last < _PAIRED:
            pair = self.pairs.get(last * _PAIRED + at)
            if pair is not None:
                return pair
        return self.alone[at] + self.backoff[last]


@cache
def english() -> English:
    """The loaded model (a fifth of a second the first time, then kept)."""
    import numpy as np

    places: dict[str, int] = {}
    alone: list[float] = []
    backoff: list[float] = []
    spelt: list[str] = []
    try:
        for line in (FOLDER / "english.txt").read_text(encoding="utf-8").splitlines():
            if line.startswith("#"):
                continue
            word, common, back, sounds = line.split("\t")
            places[word] = len(places)
            alone.append(-float(common) * LN10)
            backoff.append(-float(back) * LN10)
            spelt.append(sounds)
        with np.load(FOLDER / "english.npz") as file:
            pairs = _pairs(file["gaps"], file["steps"])
    except (OSError, ValueError, KeyError) as error:
        raise DataDamaged(
            f"The English word list cannot be read: {error}", "Install Ashdraft again."
        ) from error
    return English(places, alone, backoff, spelt, pairs)


def _pairs(gaps: NDArray[np.uint32], steps: NDArray[np.uint8]) -> dict[int, float]:
    import numpy as np

    keys: Any = np.cumsum(gaps, dtype=np.uint64)
    return dict(zip(keys.tolist(), (steps.astype(float) * (-LN10 / _STEP)).tolist(), strict=True))
