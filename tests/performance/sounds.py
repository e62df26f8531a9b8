"""Long recordings for the benchmark, made from the two bundled ones and as phones write them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
import yaml
from ashdraft.intake.decode import RATE, decode
from ashdraft_samples import FOLDER, LIVE, NARRATION

from tests.intake.media import Samples


@dataclass(frozen=True, slots=True)
class Made:
    """A recording and the words that are said in it."""

    path: Path
    words: str


def make(folder: Path, kind: str, minutes: float, suffix: str = "m4a") -> Made:
    """A recording of that length: `sparse` (an eighth is speech) or `dense` (nearly all is).

    A bundled recording again and again, mono at 16 kHz: AAC in MP4, or (`suffix` "wav") PCM,
    which is quicker to make.
    """
    source = {"sparse": LIVE, "dense": NARRATION}[kind]
    script = yaml.safe_load((FOLDER / "scripts" / f"{source.stem}.yaml").read_text("utf-8"))
    path = folder / f"{kind}-{minutes:g}.{suffix}"
    total = round(minutes * 60 * RATE)
    with av.open(str(path), "w") as out:
        codec, form = ("pcm_s16le", "s16") if suffix == "wav" else ("aac", "fltp")
        stream = out.add_stream(codec, rate=RATE, layout="mono")
        written = 0
        starts: list[float] = []
        for samples, begins in _again_and_again(source):
            if begins:
                starts.append(written / RATE)
            piece = samples[: total - written]
            if not len(piece):
                break
            if suffix == "wav":
                piece = (np.clip(piece, -1, 1) * 32767).astype(np.int16)
            frame = av.AudioFrame.from_ndarray(piece.reshape(1, -1), format=form, layout="mono")
            frame.sample_rate = RATE
            frame.pts = written
            out.mux(stream.encode(frame))
            written += len(piece)
        out.mux(stream.encode(None))
    begins = [float(line["at"]) for line in script["utterances"]]
    said = [
        line["text"]
        for start in starts
        for line, ends in zip(script["utterances"], [*begins[1:], begins[-1] + 1], strict=True)
        if start + ends <= minutes * 60
    ]
    return Made(path, " ".join(said))


def _again_and_again(source: Path) -> Iterator[tuple[Samples, bool]]:
    while True:
        for stretch in decode(source):
            yield stretch.samples, stretch.start == 0
