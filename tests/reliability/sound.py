"""The beginning of the bundled narration, as speech for tests."""

from __future__ import annotations

import numpy as np
from ashdraft.intake.decode import RATE, decode
from ashdraft_samples import NARRATION

from tests.intake.media import Samples


def narrated(seconds: float) -> Samples:
    """The first `seconds` at RATE, mono."""
    parts: list[Samples] = []
    for stretch in decode(NARRATION):
        parts.append(stretch.samples)
        if stretch.end >= seconds * RATE:
            break
    return np.concatenate(parts)[: round(seconds * RATE)]
