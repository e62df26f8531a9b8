"""Recognition behind a recording: what is understood so far, and a draft soon after the end."""

from __future__ import annotations

import multiprocessing
import os
import time
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from ashdraft.export import read_folder
from ashdraft.intake.decode import RATE, decode
from ashdraft.options import Options
from ashdraft.serve import Sessions
from ashdraft.session import write
from ashdraft.table import log, pieces, reader
from ashdraft.table.cutting import Cutter
from ashdraft.table.reader import SO_FAR, say, so_far
from ashdraft.table.readers import ACTIVE, AFTER_FAULT, Readers, needs_reading

from tests.table.made import ZERO, later, noise

SAMPLE = Path(__file__).parents[2] / "samples" / "night-ferry-live.ogg"


@pytest.fixture
def readers(tmp_path: Path) -> Iterator[Readers]:
    made = Readers(Sessions(tmp_path), "base")
    yield made
    made.end()


def until(done: Callable[[], object], seconds: float) -> float:
    """Wait until `done`; the seconds that took."""
    begun = time.monotonic()
    while not done():
        assert time.monotonic() - begun < seconds
        time.sleep(0.2)
    return time.monotonic() - begun


def test_who_is_read_and_who_is_not(tmp_path: Path) -> None:
    folder = tmp_path / "stick"
    log.begin(folder, ZERO)
    (session,) = Sessions(tmp_path)
    assert needs_reading(session)  # it goes on
    old = time.time() - ACTIVE - 60
    os.utime(folder / log.FILE, (old, old))
    assert not needs_reading(session)  # its phone is gone: somebody has to end it
    pieces.keep(folder, 1, noise(1.0), 8000, ZERO)
    assert needs_reading(session)  # sound arrives again
    log.mark(folder, "stop", later(10))
    assert needs_reading(session)
    say(folder, {"fault": "No speech was found."})
    assert not needs_reading(session)  # tried once, and nothing has changed
    (tmp_path / "stick-draft").mkdir()
    (tmp_path / "stick-draft" / "notes.json").write_text("{}")
    (folder / SO_FAR).unlink()
    (session,) = Sessions(tmp_path)
    assert session.ready
    assert not needs_reading(session)


def test_after_a_fault_it_waits(tmp_path: Path) -> None:
    folder = tmp_path / "stick"
    log.begin(folder, ZERO)
    say(folder, {"fault": "No model is installed."})
    (session,) = Sessions(tmp_path)
    assert not needs_reading(session)
    old = time.time() - AFTER_FAULT - 1
    os.utime(folder / SO_FAR, (old, old))
    assert needs_reading(session)
    say(folder, {"fault": "No model is installed."})
    log.mark(folder, "stop", later(10))
    os.utime(folder / SO_FAR, (old, old))
    assert needs_reading(session)  # once more at the end


def test_a_fault_of_the_reader_is_told_without_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise RuntimeError("spoken words")

    folder = tmp_path / "stick"
    log.begin(folder, ZERO)
    monkeypatch.setattr(reader.signal, "signal", lambda *_: None)
    monkeypatch.setattr(reader, "_read", fail)
    ours, theirs = multiprocessing.Pipe()
    reader.work(folder, tmp_path / "out", "base", theirs)
    ours.send(None)
    assert "RuntimeError" in so_far(folder)["fault"]
    assert "spoken" not in (folder / SO_FAR).read_text()


@pytest.mark.slow
def test_silence_is_told_and_gives_no_draft(tmp_path: Path, readers: Readers) -> None:
    folder = tmp_path / "stick"
    log.begin(folder, ZERO)
    pieces.keep(folder, 1, noise(8.0, level=20), 8000, ZERO)
    log.mark(folder, "stop", later(8))
    readers.look()
    until(lambda: so_far(folder), 120)
    assert "No speech" in so_far(folder)["fault"]
    assert not (tmp_path / "stick-draft").exists()


@pytest.mark.slow
def test_words_are_read_while_it_goes_on_and_once(tmp_path: Path, readers: Readers) -> None:
    """The draft is the one the command line makes; after the end only the last take is read."""
    sound = np.concatenate([stretch.samples for stretch in decode(SAMPLE)])
    sound = (np.clip(sound, -1, 1) * 32767).astype(np.int16)
    folder, out = tmp_path / "stick", tmp_path / "stick-draft"
    log.begin(folder, ZERO)
    cutter, number = Cutter(), 0
    for at in range(0, len(sound), RATE):
        block = sound[at : at + RATE]
        now = ZERO + timedelta(seconds=(at + len(block)) / RATE)
        for cut in cutter.add(block, RATE, now):
            number += 1
            pieces.keep(folder, number, cut.samples, cut.rate, cut.moment)
    readers.look()
    until(lambda: so_far(folder).get("notes"), 600)
    first = so_far(folder)
    assert 100 < first["until"] < len(sound) / RATE
    assert any(first["notes"].values())
    assert not (out / "draft.md").exists()
    kept = {path.name for path in (out / ".ashdraft" / "heard").iterdir()}
    for cut in cutter.end():
        pieces.keep(folder, number + 1, cut.samples, cut.rate, cut.moment)
    log.mark(folder, "stop", now)
    took = until(lambda: so_far(folder).get("written"), 300)
    print(f"draft {took:.1f} s after the end of {len(sound) / RATE:.0f} s")
    heard = {path.name for path in (out / ".ashdraft" / "heard").iterdir()}
    assert kept & heard == kept  # nothing was done twice
    ours = read_folder(out).notes
    assert max(r.offset + r.duration for r in ours.recordings) == pytest.approx(
        len(sound) / RATE, abs=0.1
    )
    write(Options(inputs=(SAMPLE,), out=tmp_path / "whole"))
    theirs = read_folder(tmp_path / "whole").notes
    ours_terms = {(d.term, d.third) for d in ours.reading.descriptors}
    theirs_terms = {(d.term, d.third) for d in theirs.reading.descriptors}
    assert len(theirs_terms) > 10
    assert len(ours_terms & theirs_terms) >= 0.8 * len(theirs_terms)
