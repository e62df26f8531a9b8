"""The programs that are compared, each run as a process of its own and measured from outside.

The peer is faster-whisper as its README shows it (https://github.com/SYSTRAN/faster-whisper):
`transcribe` with default settings, with `vad_filter=True`, and `BatchedInferencePipeline` with
`batch_size=8`. It stops at the text; Ashdraft goes on to the finished draft.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

PEAK = """
def peak():
    status = Path("/proc/self/status").read_text()
    return int(status.split("VmHWM:")[1].split()[0]) / 1024
"""

PEER = (
    """
import json, sys, time
from pathlib import Path
from faster_whisper import BatchedInferencePipeline, WhisperModel
path, model, threads, how, told = sys.argv[1:]
"""
    + PEAK
    + """
loaded = WhisperModel(model, device="cpu", compute_type="int8", cpu_threads=int(threads))
if how == "batched":
    segments, _ = BatchedInferencePipeline(model=loaded).transcribe(path, batch_size=8)
elif how == "vad":
    segments, _ = loaded.transcribe(path, vad_filter=True)
else:
    segments, _ = loaded.transcribe(path)
text = "".join(segment.text for segment in segments)
Path(told).write_text(json.dumps({"text": text, "peak": peak(), "cpu": time.process_time()}))
"""
)

OURS = (
    """
import json, sys, time
from pathlib import Path
from ashdraft.cli import app
path, model, threads, out, told = sys.argv[1:]
"""
    + PEAK
    + """
app(["write", path, "--model", model, "--threads", threads, "--out", out], standalone_mode=False)
said = json.loads(Path(out, "notes.json").read_text("utf-8"))["utterances"]
text = " ".join(one["heard"] for one in said)
Path(told).write_text(json.dumps({"text": text, "peak": peak(), "cpu": time.process_time()}))
"""
)


@dataclass(frozen=True, slots=True)
class Ran:
    """One run: seconds by the clock and of processor time, peak memory in MB, what was heard."""

    wall: float
    cpu: float
    peak: float
    text: str


def run(how: str, sound: Path, model: Path, threads: int, folder: Path) -> Ran:
    """Run `ours`, `again` (the draft once more, everything recognised), or the peer.

    The peer runs `plain`, `vad` or `batched`. Raises CalledProcessError.
    """
    told = folder / "told.json"
    own = how in ("ours", "again")
    out = folder / f"{sound.stem}-draft"
    if how == "ours":
        subprocess.run(["rm", "-rf", str(out)], check=True)
    program, extra = (OURS, "base") if own else (PEER, str(model))
    command = [sys.executable, "-c", program, str(sound), extra, str(threads),
               str(out) if own else how, str(told)]  # fmt: skip
    begun = time.monotonic()
    subprocess.run(command, check=True, capture_output=True)
    wall = time.monotonic() - begun
    found = json.loads(told.read_text("utf-8"))
    return Ran(wall, found["cpu"], found["peak"], found["text"])
