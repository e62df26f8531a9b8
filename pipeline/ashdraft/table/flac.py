"""Sound as FLAC (RFC 9639), with the moment of its first sample in the file itself.

FLAC keeps every sample, its stream can be read to wherever it breaks off, and its comment `DATE`
is where Ashdraft looks for the time of a recording.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Samples = NDArray[np.int16]

MOMENT = "DATE"


def encoded(samples: Samples, rate: int, moment: datetime) -> bytes:
    """One channel of 16-bit `samples` at `rate` a second as a FLAC file."""
    file = io.BytesIO()
    write(file, [samples], rate, moment)
    return file.getvalue()


def write(file: BinaryIO, sound: Iterable[Samples], rate: int, moment: datetime) -> None:
    """Write `sound`, piece by piece, as one FLAC stream into `file`, which can be sought."""
    import av

    with av.open(file, "w", format="flac") as container:
        container.metadata[MOMENT] = moment.isoformat(timespec="microseconds")
        stream = container.add_stream("flac", rate=rate, layout="mono")
        for samples in sound:
            frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="s16", layout="mono")
            frame.sample_rate = rate
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))


def read(path: Path) -> tuple[int, datetime, Iterator[Samples]]:
    """Rate, moment and sound (in stretches) of a file made by `write`.

    Raises ValueError or an OSError (of which PyAV's are) where it is none.
    """
    import av

    with av.open(str(path), format="flac") as container:
        rate = container.streams.audio[0].rate
        tags = {key.upper(): value for key, value in container.metadata.items()}
    return int(rate), datetime.fromisoformat(tags.get(MOMENT, "")), _stretches(path)


def _stretches(path: Path) -> Iterator[Samples]:
    import av

    with av.open(str(path), format="flac") as container:
        frames: Iterator[Any] = container.decode(audio=0)
        for frame in frames:
            yield frame.to_ndarray().reshape(-1)
