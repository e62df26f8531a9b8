"""The records the rules of this room share: a recording prepared, and the stand of a note."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from .clauses import Clauses
from .phrases import Marks
from .spans import Span
from .speech import Labels
from .stream import Stream

State = Literal["present", "absent", "open"]


@dataclass(frozen=True, slots=True)
class Stand:
    """`state` "open" is a note looked for and not heard of again. `faint` is "hardly any",
    "not without". `at` is the word that denies it, or -1."""

    state: State
    faint: bool = False
    at: int = -1


@dataclass(frozen=True, slots=True)
class Scene:
    """All that is known of a recording before its notes are judged."""

    stream: Stream
    marks: Marks
    parts: Clauses
    labels: Labels
    spans: tuple[Span, ...]
    at: Mapping[int, Span]
    line_cues: tuple[frozenset[str], ...]
