"""Levelling and joining of speech before it is recognised. Only here is pydub imported.

Recognition is trained on speech at ordinary loudness: a voice from a pocket or an arm's length
away is raised, a hot one lowered. Samples are mono float32 at 16 kHz.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from .decode import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.float32]

TARGET_DBFS = -20.0
CEILING_DBFS = -1.0
# The loudest thousandth (a click of the lighter, a knock on the table) is not counted, and may
# be cut off.
_USUAL_SHARE = 99.9
_FADE = RATE // 200
_FULL_SCALE = 32767


def level(samples: Samples) -> Samples:
    """A stretch of speech brought to -20 dBFS RMS by one gain, without driving it into clipping.

    Floating-point sound beyond full scale comes back into range; digital silence stays as it is.
    """
    levelled = _levelled(samples)
    return samples if levelled is None else _samples(levelled)


def join(pieces: Sequence[Samples], gap: float) -> Samples:
    """Levelled `pieces`, each as long as it was, with `gap` seconds of silence in between.

    `gap` is a whole number of milliseconds. Short fades keep the joins from sounding like
    speech.
    """
    kind = segment_class()
    pause = kind.silent(duration=round(gap * 1000), frame_rate=RATE)
    joined = kind.silent(duration=0, frame_rate=RATE)
    for number, piece in enumerate(pieces):
        faded = _faded(piece)
        levelled = _levelled(faded)
        joined += pause if number else kind.empty()
        joined += _segment(faded) if levelled is None else levelled
    return _samples(joined)


def _faded(samples: Samples) -> Samples:
    """Faded in and out, to the sample (pydub's own fades round lengths to milliseconds)."""
    import numpy as np

    length = min(_FADE, len(samples) // 2)
    ramp = np.linspace(0.0, 1.0, length, dtype=np.float32)
    faded = samples.copy()
    faded[:length] *= ramp
    faded[len(faded) - length :] *= ramp[::-1]
    return faded


def _levelled(samples: Samples) -> Any:
    """The samples as a pydub segment at the target, or None where there is nothing to level."""
    import numpy as np

    loud = np.abs(samples)
    peak = float(loud.max(initial=0.0))
    if peak <= 0.0:
        return None
    # Handed over at full scale, so that 16-bit samples do not round a very quiet voice away.
    segment = _segment(samples / peak)
    usual = max(float(np.percentile(loud, _USUAL_SHARE)) / peak, 1e-4)
    loudness = _segment(np.clip(samples / peak, -usual, usual)).dBFS
    headroom = CEILING_DBFS - 20 * float(np.log10(usual))
    return segment.apply_gain(min(TARGET_DBFS - loudness, headroom))


def _segment(samples: Samples) -> Any:
    import numpy as np

    pcm = np.clip(samples * _FULL_SCALE, -_FULL_SCALE, _FULL_SCALE).astype("<i2")
    return segment_class()(pcm.tobytes(), frame_rate=RATE, sample_width=2, channels=1)


def _samples(segment: Any) -> Samples:
    import numpy as np

    return np.frombuffer(segment.raw_data, dtype="<i2").astype(np.float32) / np.float32(_FULL_SCALE)


def segment_class() -> Any:
    """Return pydub's `AudioSegment`."""
    # On import pydub looks for an ffmpeg program, which is not needed here, and uses a module
    # that Python 3.13 takes out of the standard library (audioop-lts replaces it there).
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pydub import AudioSegment

    return AudioSegment
