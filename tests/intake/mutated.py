"""Opens and decodes damaged files; run as a program, so that a crash is seen and not suffered.

python -m tests.intake.mutated FOLDER SEED COUNT KIND...
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

import numpy as np
from ashdraft.errors import AshdraftError
from ashdraft.intake import open_session
from ashdraft.intake.decode import RATE, decode

from .media import KINDS, bursts, write_media

LONGEST_WAIT = 10.0  # seconds for one small file
MOST_MEMORY = 600.0  # MB at the peak, the making of the sound files included


def damage(data: bytearray, rng: random.Random) -> None:
    """One kind of damage: flipped bits, a lying header, a cut, a repeat, foreign bytes."""
    at = rng.randrange(len(data))
    match rng.randrange(6):
        case 0:
            for _ in range(rng.choice([1, 10, 200])):
                data[rng.randrange(len(data))] = rng.randrange(256)
        case 1:
            for _ in range(rng.choice([1, 4, 16])):
                data[rng.randrange(min(600, len(data)))] = rng.choice([0, 127, 128, 255])
        case 2:
            del data[max(at, 1) :]
        case 3:  # absurd rates, lengths and counts: a header's numbers have four bytes
            number = rng.choice([0, 1, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF, 48_000_000])
            field = rng.randrange(min(600, len(data)))
            data[field : field + 4] = number.to_bytes(4, rng.choice(["big", "little"]))
        case 4:
            data[at:at] = data[at : at + rng.randrange(5000)]
        case _:
            data[at:at] = rng.randbytes(rng.randrange(3000))


def main(folder: Path, seed: int, count: int, kinds: list[str]) -> None:
    """Every file gives sound or an error of ours, soon, and never more time than it has bytes."""
    rng = random.Random(seed)
    noise = np.random.default_rng(seed)
    sources = []
    for number, kind in enumerate(KINDS):
        if not kinds or str(kind) in kinds:
            sound = bursts(kind.rate, (0.5, 1.6), 3.0)
            sound += noise.standard_normal(len(sound)).astype(np.float32) * 0.01
            sources.append(write_media(folder / f"{number}.{kind.suffix}", sound, kind))
    outcomes: dict[str, int] = {}
    for number in range(count):
        source = rng.choice(sources)
        data = bytearray(source.read_bytes())
        damage(data, rng)
        path = folder / f"mutated{source.suffix}"
        path.write_bytes(data)
        begun, end = time.monotonic(), 0
        try:
            session = open_session([path])
            for stretch in decode(path):
                end = stretch.end
            assert session.recordings[0].duration < 120, (number, source.name)
            assert end < 120 * RATE, (number, source.name)
            outcome = "sound"
        except AshdraftError as error:
            outcome = type(error).__name__
        assert time.monotonic() - begun < LONGEST_WAIT, (number, source.name)
        outcomes[outcome] = outcomes.get(outcome, 0) + 1
    print(outcomes)
    status = Path("/proc/self/status")
    if status.exists():  # Linux
        peak = int(status.read_text().split("VmHWM:")[1].split()[0]) / 1024
        print(f"peak {peak:.0f} MB")
        assert peak < MOST_MEMORY, f"{peak:.0f} MB"


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4:])
