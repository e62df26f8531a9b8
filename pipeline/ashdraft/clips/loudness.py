"""Loudness as broadcasters measure it, by FFmpeg's `ebur128` filter.

Recommendation ITU-R BS.1770 (K-weighting, gates at -70 LUFS and 10 LU below) and EBU R 128.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .sound import Sound

CEILING = -1.0
"""dB true peak that nothing is raised above (EBU R 128, maximum permitted level)."""
_SHORTEST = 0.4
"""Seconds: BS.1770 measures blocks of 400 ms, so there is no loudness of less."""
_SILENT = -70.0


@dataclass(frozen=True, slots=True)
class Loudness:
    """`integrated` in LUFS, None for silence or less than 0.4 s; `peak` in dB true peak."""

    integrated: float | None
    peak: float


def measure(sound: Sound) -> Loudness:
    """Measure a whole sound."""
    import av
    import av.filter
    import numpy as np

    channels = sound.samples.shape[1]
    layout = "mono" if channels == 1 else "stereo"
    graph = av.filter.Graph()
    source = graph.add_abuffer(
        sample_rate=sound.rate, format="s16", layout=layout, time_base=Fraction(1, sound.rate)
    )
    meter = graph.add("ebur128", "metadata=1:peak=true:framelog=quiet")
    sink = graph.add("abuffersink")
    source.link_to(meter)
    meter.link_to(sink)
    graph.configure()
    padded = np.concatenate([sound.samples, np.zeros((sound.rate // 10, channels), np.int16)])
    frame = av.AudioFrame.from_ndarray(padded.reshape(1, -1), format="s16", layout=layout)
    frame.sample_rate, frame.pts = sound.rate, 0
    graph.push(frame)
    graph.push(None)
    last: dict[str, str] = {}
    while True:
        try:
            measured = graph.pull()
        except (av.error.EOFError, av.error.BlockingIOError):
            break
        last = {**last, **dict(measured.metadata)}
    integrated = float(last.get("lavfi.r128.I", _SILENT))
    peaks = [float(v) for k, v in last.items() if "true_peak" in k]
    known = len(sound.samples) >= _SHORTEST * sound.rate and integrated > _SILENT
    peak = 20 * float(np.log10(max(*peaks, 1e-5))) if peaks else 0.0
    return Loudness(integrated if known else None, peak)


def gain(sound: Sound, target: float) -> float:
    """Return the dB that bring a sound to `target` LUFS, less where its peaks would suffer."""
    found = measure(sound)
    if found.integrated is None:
        return 0.0
    return min(target - found.integrated, CEILING - found.peak)
