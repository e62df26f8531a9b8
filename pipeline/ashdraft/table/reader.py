"""Recognition behind a recording, in a process of its own: what was understood so far, the draft.

While a recording goes on its takes are read again and again; what was recognised before is kept
in the draft's `.ashdraft`, so each time only the new sound costs anything. After the end the same
words go into the draft.
"""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections.abc import Mapping
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from ..errors import AshdraftError, NoSpeech
from ..model import Count, Notes
from ..options import Options
from ..output import atomic_write
from .log import FILE, read

SO_FAR = ".so-far.json"
EVERY = 5.0
"""Seconds between two looks at a recording that goes on."""


def work(folder: Path, out: Path, model: str, parent: Connection) -> None:
    """Read the recording in `folder` until it has ended and its draft is in `out`. Entry point.

    Ends at once with the process at the other end of `parent`.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(5)
    seen: list[str] = []
    while True:
        log = read(folder / FILE)
        if log is None:
            return
        takes = _together(folder, ended=log.stopped)
        if log.stopped:
            _finish(folder, Options(inputs=(folder,), out=out, model=model))
            return
        names = [take.name for take in takes]
        if names != seen and takes:
            seen = names
            _so_far(folder, Options(inputs=tuple(takes), out=out, model=model))
        time.sleep(EVERY)


def so_far(folder: Path) -> Mapping[str, Any]:
    """What was last understood of the recording in `folder`; empty where nothing was."""
    try:
        found: dict[str, Any] = json.loads((folder / SO_FAR).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return found


def say(folder: Path, known: Mapping[str, Any]) -> None:
    """Keep what is known for the page. Raises OSError."""
    atomic_write(folder / SO_FAR, json.dumps(known, ensure_ascii=False).encode())


def _together(folder: Path, *, ended: bool) -> list[Path]:
    from . import pieces

    with pieces.alone(folder):
        pieces.put_together(folder, ended=ended)
    return sorted(folder.glob("take-*.flac"))


def _so_far(folder: Path, options: Options) -> None:
    from ..intake import open_session
    from ..output import open_folder
    from ..progress import Silent
    from ..session import understand
    from ..transcribe import transcribe
    from . import taps_of, with_taps

    assert options.out is not None
    try:
        session = open_session(options.inputs)
        with open_folder(options.out) as out:
            transcript = transcribe(session, options, out.work, Silent())
        notes, _ = understand(transcript, options)
    except NoSpeech:
        return
    except AshdraftError as fault:
        say(folder, {"fault": fault.message, "next": fault.next_step})
        return
    taps = taps_of([folder])
    say(folder, understood(with_taps(notes, taps) if taps is not None else notes))


def _finish(folder: Path, options: Options) -> None:
    from ..session import write

    try:
        result = write(options)
    except AshdraftError as fault:
        say(folder, {"fault": fault.message, "next": fault.next_step})
        return
    say(folder, understood(result.notes) | {"written": True})


def understood(notes: Notes) -> dict[str, Any]:
    """What the page shows: counts by third, notes by third, and up to which second."""
    reading = notes.reading
    by_third: dict[str, list[str]] = {"1": [], "2": [], "3": []}
    for note in reading.descriptors:
        if note.polarity == "present" and note.third and note.term not in by_third[str(note.third)]:
            by_third[str(note.third)].append(note.term)
    return {
        "until": max((r.offset + r.duration for r in notes.recordings), default=0.0),
        "touch_ups": _count(reading.touch_ups),
        "relights": _count(reading.relights),
        "notes": by_third,
    }


def _count(count: Count) -> list[int] | None:
    """First, second and final third, and all; None where nothing was said of any."""
    if not count.total and not count.utterances:
        return None
    return [*count.by_third, count.total]


def _end_with(parent: Connection) -> None:
    try:
        parent.recv()
    except (EOFError, OSError):
        os._exit(AshdraftError.exit_code)
