"""Pieces and takes: no sample is lost, doubled or moved, whatever stops the program when."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest
from ashdraft.intake import open_session
from ashdraft.table import cutting, flac, pieces, put_together
from ashdraft.table.log import begin
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.needs import need
from tests.table.made import RATE, ZERO, later, noise, sound_of


def stored(folder: Path, lengths: list[float], gap_before: int | None = None) -> list[bytes]:
    """Pieces of these lengths in seconds, one after the other; an hour before `gap_before`."""
    at, every = 0.0, []
    for number, length in enumerate(lengths, start=1):
        if number == gap_before:
            at += 3600
        sound = noise(length, number)
        assert pieces.keep(folder, number, sound, RATE, later(at))
        at += len(sound) / RATE
        every.append(sound.tobytes())
    return every


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.glob("*.flac"))


def test_a_take_holds_its_pieces_sample_for_sample(tmp_path: Path) -> None:
    begin(tmp_path, ZERO)
    sent = stored(tmp_path, [1.0, 0.7, 1.3])
    put_together([tmp_path])
    assert names(tmp_path) == ["take-000001-000003.flac"]
    assert sound_of([tmp_path / "take-000001-000003.flac"]).tobytes() == b"".join(sent)


def test_flac_is_read_the_same_by_the_reference_decoder(tmp_path: Path) -> None:
    """The decoder of FFmpeg's command line, and RFC 9639's own sum of the sound (MD5)."""
    need(shutil.which("ffmpeg"), "ffmpeg is not installed (Debian package ffmpeg)")
    sound = noise(1.0)
    (tmp_path / "one.flac").write_bytes(flac.encoded(sound, RATE, ZERO))
    command = f"ffmpeg -v error -i {tmp_path / 'one.flac'} -f s16le -"
    assert subprocess.run(command.split(), capture_output=True).stdout == sound.tobytes()


def test_a_gap_and_another_rate_begin_a_take(tmp_path: Path) -> None:
    begin(tmp_path, ZERO)
    stored(tmp_path, [1.0, 1.0, 1.0], gap_before=3)
    pieces.keep(tmp_path, 4, noise(1.0, rate=16000), 16000, later(3603))
    put_together([tmp_path])
    assert names(tmp_path) == [
        "take-000001-000002.flac", "take-000003-000003.flac", "take-000004-000004.flac",
    ]  # fmt: skip
    session = open_session([tmp_path])
    assert [clip.recording.offset for clip in session.clips] == [0.0, 3602.0, 3603.0]


def test_a_piece_that_comes_twice_is_kept_once(tmp_path: Path) -> None:
    stored(tmp_path, [1.0])
    assert not pieces.keep(tmp_path, 1, noise(1.0, 9), RATE, later(0))
    pieces.put_together(tmp_path, ended=True)
    assert not pieces.keep(tmp_path, 1, noise(1.0, 9), RATE, later(0))
    assert sound_of(sorted(tmp_path.glob("*.flac"))).tobytes() == noise(1.0, 1).tobytes()


@pytest.mark.parametrize("at", ["encoding", "renaming", "clearing"])
def test_stopped_while_putting_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    begin(tmp_path, ZERO)
    sent = stored(tmp_path, [1.0, 1.0, 1.0])

    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    where = {
        "encoding": (flac, "write"),
        "renaming": (Path, "replace"),
        "clearing": (Path, "unlink"),
    }
    with monkeypatch.context() as patch:
        patch.setattr(*where[at], stop)
        with pytest.raises(KeyboardInterrupt):
            put_together([tmp_path])
    assert pieces.numbers(tmp_path) == {1, 2, 3}
    put_together([tmp_path])
    assert names(tmp_path) == ["take-000001-000003.flac"]
    assert sound_of([tmp_path / "take-000001-000003.flac"]).tobytes() == b"".join(sent)


def test_a_take_that_reads_back_otherwise_costs_no_piece(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored(tmp_path, [1.0, 1.0])
    whole = flac.write

    def damaged(file, sound, rate, moment):  # type: ignore[no-untyped-def]
        whole(file, [part // 2 for part in sound], rate, moment)

    monkeypatch.setattr(flac, "write", damaged)
    with pytest.raises(OSError, match="reads back"):
        pieces.put_together(tmp_path, ended=True)
    assert names(tmp_path) == ["piece-000001.flac", "piece-000002.flac"]


def test_a_growing_take_ends_in_quiet(tmp_path: Path) -> None:
    """Loud pieces with one quiet seam after 150 s: the cut is there and nowhere else."""
    at = 0.0
    for number in range(1, 22):
        sound = noise(10.0, number)
        if number == 15:
            sound[-RATE // 2 :] = noise(0.5, 99, level=3)
        if number == 16:
            sound[: RATE // 2] = noise(0.5, 98, level=3)
        sound[RATE : RATE * 3 // 2] = noise(0.5, 97, level=3)  # quiet, but at no seam
        pieces.keep(tmp_path, number, sound, RATE, later(at))
        at += 10.0
    assert pieces.put_together(tmp_path, ended=False) == 1
    assert "take-000001-000015.flac" in names(tmp_path)
    assert len(names(tmp_path)) == 7


def test_a_damaged_piece_stays_and_the_rest_plays(tmp_path: Path) -> None:
    begin(tmp_path, ZERO)
    stored(tmp_path, [1.0, 1.0, 1.0])
    (tmp_path / "piece-000002.flac").write_bytes(b"\0" * 100)
    put_together([tmp_path])
    assert names(tmp_path) == [
        "piece-000002.flac", "take-000001-000001.flac", "take-000003-000003.flac",
    ]  # fmt: skip
    assert len(open_session([tmp_path]).clips) == 2


@settings(max_examples=40, deadline=None)
@given(
    blocks=st.lists(st.integers(1, 3 * RATE), min_size=1, max_size=25),
    ends=st.sets(st.integers(0, 25)),
    seed=st.integers(0, 1000),
)
def test_cutting_keeps_every_sample_in_its_place(
    blocks: list[int], ends: set[int], seed: int
) -> None:
    """Law: the cuts, laid at their moments, are the sound that went in."""
    cutter, heard, cuts = cutting.Cutter(), 0, []
    every = noise(sum(blocks) / RATE + 1, seed)
    for index, length in enumerate(blocks):
        samples = every[heard : heard + length]
        heard += length
        cuts += cutter.add(samples, RATE, later(heard / RATE))
        if index in ends:
            cuts += cutter.end()
    cuts += cutter.end()
    for cut in cuts:
        at = round((cut.moment - ZERO).total_seconds() * RATE)
        assert np.array_equal(cut.samples, every[at : at + len(cut.samples)])
        assert len(cut.samples) <= cutting.LONGEST * RATE
    assert sum(len(cut.samples) for cut in cuts) == heard


def test_time_that_is_missing_is_a_gap_and_late_samples_are_none() -> None:
    cutter = cutting.Cutter()
    cuts = list(cutter.add(noise(1.0), RATE, later(1.0)))
    cuts += cutter.add(noise(1.0), RATE, later(2.4))  # delivered a little late
    cuts += cutter.add(noise(1.0), RATE, later(33.0))  # the computer slept half a minute
    cuts += cutter.end()
    assert [(cut.moment, len(cut.samples) / RATE) for cut in cuts] == [
        (later(0.0), 2.0), (later(32.0), 1.0),
    ]  # fmt: skip


def test_every_folder_name_works() -> None:
    with tempfile.TemporaryDirectory(prefix="tisch #1 100% ü ") as name:
        folder = Path(name)
        begin(folder, ZERO)
        stored(folder, [1.0])
        put_together([folder])
        assert len(open_session([folder]).clips) == 1
