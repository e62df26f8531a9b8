"""Coverage-guided fuzzing of the transcript readers; needs `pip install atheris` (Linux, macOS).

python -m tests.reliability.fuzz -atheris_runs=200000
python -m tests.reliability.fuzz -max_total_time=600 CORPUS_FOLDER

An input that raises anything but the errors of ashdraft.errors, or takes 10 s, is kept as
`crash-...` or `timeout-...` and ends the run. The options are libFuzzer's.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["ashdraft.intake", "ashdraft.export"]):
    from ashdraft.errors import AshdraftError
    from ashdraft.export import read_notes
    from ashdraft.intake.transcripts import read_transcript

FOLDER = Path(tempfile.mkdtemp(prefix="ashdraft-fuzz-"))
FILES = [FOLDER / f"fuzzed{suffix}" for suffix in (".vtt", ".srt", ".json")]


def one_input(data: bytes) -> None:
    """The first byte chooses the reader."""
    if not data:
        return
    chosen, rest = data[0] % (len(FILES) + 1), data[1:]
    try:
        if chosen == len(FILES):
            read_notes(rest.decode("utf-8", "replace"))
        else:
            FILES[chosen].write_bytes(rest)
            read_transcript(FILES[chosen])
    except AshdraftError:
        pass


if __name__ == "__main__":
    atheris.Setup([*sys.argv, "-timeout=10"], one_input)
    atheris.Fuzz()
