"""A stand-in for the speech model: quick, countable, and always the same for the same sound."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

import numpy as np
from ashdraft.model import Word
from ashdraft.transcribe.recogniser import Window

from tests.intake.media import Samples


class Stand:
    """In place of a speech model: one word a window, which depends on its sound and nothing else.

    Real recognition is in test_transcribe_words.py; here it only has to be quick and countable.
    """

    loaded: ClassVar[list[Stand]] = []
    workers = 2
    many_languages = True

    def __init__(self, folder: Path, name: str, threads: int) -> None:
        self.asked: list[int] = []
        self.loaded.append(self)

    def languages(self, sound: Samples) -> dict[str, float]:
        return {"en": 0.9, "cy": 0.1}

    def recognise(self, sounds: Sequence[Samples], language: str) -> list[Window]:
        self.asked.append(len(sounds))
        return [
            Window((Word(f" word{np.abs(sound).sum():.4f}", 0.5, 1.0, 0.9),), -0.1)
            for sound in sounds
        ]
