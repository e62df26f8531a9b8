"""Loudness as broadcasters measure it, by FFmpeg's `ebur128` filter, and clips brought to it.

Recommendation ITU-R BS.1770 (K-weighting, gates at -70 LUFS and 10 LU below) and EBU R 128.
Speech has peaks some 20 dB above its loudness, so a gain alone would leave most clips too quiet
or clip them: FFmpeg's `alimiter`, at twice the sample rate, holds the peaks down.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from .sound import Sound

if TYPE_CHECKING:
    from .sound import Pcm

CEILING = -1.0
"""dB true peak that nothing is raised above (EBU R 128, maximum permitted level)."""
MOST_LIMITED = 15.0
"""dB that peaks are held down at the most; a clip that would need more stays quieter (own
choice: a knock is, a shout is not)."""
CLOSE = 0.2
"""LU; once it is so close, loudness is left alone."""
_LIMIT = -1.5
"""dB; what the limiter lets through, as true peaks lie a little above the samples'."""
_ROUNDS = 3
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
    import numpy as np

    channels = sound.samples.shape[1]
    padded = np.concatenate([sound.samples, np.zeros((sound.rate // 10, channels), np.int16)])
    last: dict[str, str] = {}
    meter = [("ebur128", "metadata=1:peak=true:framelog=quiet")]
    for measured in _through(padded, sound.rate, meter):
        last = {**last, **dict(measured.metadata)}
    integrated = float(last.get("lavfi.r128.I", _SILENT))
    peaks = [float(v) for k, v in last.items() if "true_peak" in k]
    known = len(sound.samples) >= _SHORTEST * sound.rate and integrated > _SILENT
    peak = 20 * float(np.log10(max(*peaks, 1e-5))) if peaks else 0.0
    return Loudness(integrated if known else None, peak)


def levelled(sound: Sound, target: float) -> Sound:
    """Return the sound at `target` LUFS, its peaks under `CEILING`; silence stays as it is.

    Where that takes more than `MOST_LIMITED` of the peaks it stays quieter.
    """
    found = measure(sound)
    if found.integrated is None:
        return sound
    most = CEILING - found.peak + MOST_LIMITED
    gain = min(target - found.integrated, most)
    for _ in range(_ROUNDS):
        made = _raised(sound, gain, limited=found.peak + gain > CEILING)
        missing = target - (measure(made).integrated or target)
        if abs(missing) < CLOSE or gain + missing > most:
            break
        gain += missing
    return made


def _raised(sound: Sound, gain: float, *, limited: bool) -> Sound:
    import numpy as np

    filters = [("volume", f"{gain:.3f}dB:precision=double")]
    if limited:
        filters += [
            ("aresample", f"{2 * sound.rate}"),
            ("alimiter", f"limit={10 ** (_LIMIT / 20):.4f}:attack=3:release=60:level=0:latency=1"),
            ("aresample", f"{sound.rate}"),
        ]
    frames = _through(sound.samples, sound.rate, [*filters, ("aformat", "sample_fmts=s16")])
    rows = [f.to_ndarray().reshape(-1, sound.samples.shape[1]) for f in frames]
    samples = np.concatenate([sound.samples[:0], *rows])[: len(sound.samples)]
    return Sound(np.ascontiguousarray(samples), sound.rate)


def _through(samples: Pcm, rate: int, filters: Sequence[tuple[str, str]]) -> Iterator[Any]:
    """Yield the frames that come out of a chain of FFmpeg's filters."""
    import av
    import av.error
    import av.filter

    layout = "mono" if samples.shape[1] == 1 else "stereo"
    graph = av.filter.Graph()
    source = graph.add_abuffer(
        sample_rate=rate, format="s16", layout=layout, time_base=Fraction(1, rate)
    )
    nodes = [source, *(graph.add(*one) for one in filters), graph.add("abuffersink")]
    graph.link_nodes(*nodes).configure()
    frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout=layout)
    frame.sample_rate, frame.pts = rate, 0
    graph.push(frame)
    graph.push(None)
    while True:
        try:
            yield graph.pull()
        except (av.error.EOFError, av.error.BlockingIOError):
            return
