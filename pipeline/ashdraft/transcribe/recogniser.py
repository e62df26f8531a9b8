"""The speech model at work: windows of sound in, words with times and probabilities out.

The only module that knows faster-whisper's model. Nothing random is used, so the same sound
gives the same words on every run, interrupted or not.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import ModelDamaged
from ..intake.decode import RATE
from ..model import Word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

# Signs that the model lost the thread, as published with Whisper (Radford et al. 2022, 4.5):
# text that compresses too well repeats itself; a low mean log probability is guessing.
_MOST_COMPRESSION = 2.4
_LEAST_LOG_PROBABILITY = -1.0
# Nobody speaks more words a second than this over a whole window.
_FASTEST = 6.5
# Speech this long (seconds) holds at least a word.
_SPEAKS = 1.5
# Guessing so wild that no second attempt makes it worth printing.
_HOPELESS = -1.5
# The start of a window is enough to tell the language, at a seventh of the whole one's cost.
_LANGUAGE_FRAMES = 1000

SETTINGS = {"beam": 1, "second": 5, "version": 1}
"""What besides sound and model decides the words: part of every stored block's key."""


@dataclass(frozen=True, slots=True)
class Window:
    """The words of one window; times in seconds from its start, texts as the model gives them."""

    words: tuple[Word, ...]
    log_probability: float
    dropped: bool = False


class Recogniser:
    """A loaded speech model. Safe to use from `workers` threads at once."""

    def __init__(self, folder: Path, device: str, threads: int) -> None:
        """Load the model in `folder` for `device` ("cpu": int8, "cuda": float16).

        Raises ModelDamaged when its files are not a model.
        """
        from faster_whisper import BatchedInferencePipeline

        on_cpu = device == "cpu"
        # One thread for each of two windows wastes less than two threads on one window.
        self.workers = 2 if on_cpu and threads > 1 else 1
        try:
            self._model = _model_class()(
                str(folder),
                device=device,
                compute_type="int8" if on_cpu else "float16",
                cpu_threads=max(threads // self.workers, 1),
                num_workers=self.workers,
            )
        except (RuntimeError, ValueError, OSError) as error:
            raise ModelDamaged(
                f"The speech model in {folder} cannot be loaded.",
                "Give a Whisper model in CTranslate2 form, or use --model base.",
            ) from error
        self._pipeline = BatchedInferencePipeline
        self.many_languages = bool(self._model.model.is_multilingual)

    def try_out(self) -> None:
        """Run the model once on silence. Raises RuntimeError when the device does not work."""
        import numpy as np

        features = self._model.feature_extractor(np.zeros(RATE, dtype=np.float32))
        self._model.encode(features)

    def languages(self, sound: Samples) -> dict[str, float]:
        """How likely each language is, from the first ten seconds of `sound`."""
        import ctranslate2
        import numpy as np
        from faster_whisper.audio import pad_or_trim

        features = self._model.feature_extractor(sound[: 15 * RATE])[..., :-1]
        start = np.ascontiguousarray(pad_or_trim(features, _LANGUAGE_FRAMES)[None])
        found = self._model.model.detect_language(ctranslate2.StorageView.from_array(start))[0]
        return {token.strip("<|>"): float(probability) for token, probability in found}

    def recognise(self, sounds: Sequence[Samples], language: str) -> list[Window]:
        """The words of several windows of speech (each at most 30 s), decoded together.

        A window in which the model lost the thread is tried again by itself, with a wider
        search; if that fails too it is `dropped`: no words are made up.
        """
        return [
            window if window is not None else self._again(sound, language)
            for window, sound in zip(self._together(sounds, language), sounds, strict=True)
        ]

    def _together(self, sounds: Sequence[Samples], language: str) -> list[Window | None]:
        import numpy as np

        edges = np.cumsum([0, *(len(sound) for sound in sounds)]) / RATE
        segments, _ = self._pipeline(self._model).transcribe(
            np.concatenate(sounds),
            clip_timestamps=[
                {"start": float(start), "end": float(end)} for start, end in pairwise(edges)
            ],
            batch_size=len(sounds),
            beam_size=SETTINGS["beam"],
            language=language,
            word_timestamps=True,
        )
        parts: list[list[Any]] = [[] for _ in sounds]
        for segment in segments:
            parts[int(np.searchsorted(edges, segment.seek / 100 + 0.02, "right")) - 1].append(
                segment
            )
        return [
            _sound_window(part, len(sound) / RATE, float(edges[index]))
            for index, (part, sound) in enumerate(zip(parts, sounds, strict=True))
        ]

    def _again(self, sound: Samples, language: str) -> Window:
        seconds = len(sound) / RATE
        tried: list[Window] = []
        for more in ({}, {"no_repeat_ngram_size": 4, "repetition_penalty": 1.1}):
            segments, _ = self._model.transcribe(
                sound,
                language=language,
                beam_size=SETTINGS["second"],
                temperature=0.0,
                condition_on_previous_text=False,
                word_timestamps=True,
                **more,
            )
            part = list(segments)
            window = _sound_window(part, seconds, 0.0)
            if window is not None:
                return window
            if part and _compression(part) <= _MOST_COMPRESSION:
                tried.append(Window(_words(part, 0.0, seconds), _log_probability(part)))
        best = max(tried, key=lambda window: window.log_probability, default=None)
        if best is None or best.log_probability < _HOPELESS:
            return Window(
                (), best.log_probability if best else _HOPELESS, dropped=seconds > _SPEAKS
            )
        return best


def _model_class() -> Any:
    """faster-whisper's model, encoding window by window on a processor.

    The attention of one window of 30 s takes 72 MB in `base`; for several at once that many
    times more, and no faster. They are decoded together, which is faster.
    """
    import ctranslate2
    import numpy as np
    from faster_whisper import WhisperModel

    class OneByOne(WhisperModel):  # type: ignore[misc]
        def encode(self, features: Any) -> Any:
            if features.ndim < 3 or len(features) == 1 or self.model.device != "cpu":
                return super().encode(features)
            encoded = [np.array(super(OneByOne, self).encode(one)) for one in features]
            return ctranslate2.StorageView.from_array(np.concatenate(encoded))

    return OneByOne


def _sound_window(part: Sequence[Any], seconds: float, offset: float) -> Window | None:
    """The window's words, or None where something tells that the model lost the thread."""
    words = _words(part, offset, seconds)
    log_probability = _log_probability(part)
    if not words:
        return None if seconds > _SPEAKS else Window((), log_probability)
    guessing = log_probability < _LEAST_LOG_PROBABILITY
    looping = _compression(part) > _MOST_COMPRESSION or len(words) > _FASTEST * max(seconds, 1.0)
    return None if guessing or looping else Window(words, log_probability)


def _words(part: Sequence[Any], offset: float, seconds: float) -> tuple[Word, ...]:
    found = []
    earliest = 0.0
    for segment in part:
        for word in segment.words or ():
            start = min(max(float(word.start) - offset, earliest), seconds)
            end = min(max(float(word.end) - offset, start), seconds)
            found.append(Word(word.word, start, end, min(max(float(word.probability), 0.0), 1.0)))
            earliest = start
    return tuple(found)


def _log_probability(part: Sequence[Any]) -> float:
    """Mean over the segments, weighted by their tokens."""
    tokens = sum(len(segment.tokens) for segment in part)
    if not tokens:
        return 0.0
    return float(sum(s.avg_logprob * len(s.tokens) for s in part) / tokens)


def _compression(part: Sequence[Any]) -> float:
    text = "".join(segment.text for segment in part).strip().encode()
    return len(text) / len(zlib.compress(text)) if text else 0.0
