"""Decides by the weights in models/ashdraft_models/reading/notes.json whether words name a note.

A logistic model over the named features of features.py; its training is in
models/ashdraft_models/reading/train_notes.py.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import ashdraft_models

from ...errors import DataDamaged

Weights = Mapping[str, float]


@cache
def weights(kind: str) -> Weights:
    """Feature to weight; `kind` is "alone" (no section known) or "placed"."""
    path = ashdraft_models.ROOT / "reading" / "notes.json"
    try:
        read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        return {name: float(value) for name, value in read[kind].items()}
    except (OSError, ValueError, KeyError, AttributeError) as error:
        raise DataDamaged(f"{path.name} cannot be read: {error}", "Install again.") from error


def probability(found: Iterable[str], model: Weights) -> float:
    """How probable it is that something with these features is a note, 0 to 1."""
    total = sum(model.get(name, 0.0) for name in found)
    return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, total))))
