"""A disk that fills up at every possible write, and one that takes none."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from ashdraft import output, session
from ashdraft.errors import OutputRefused
from ashdraft.intake import open_session as session_of
from ashdraft.options import Options
from ashdraft.output import TEMPORARY
from ashdraft.session import write

from tests.needs import need

SPOKEN = "WEBVTT\n\n" + "\n".join(
    f"{minute:02}:00.000 --> {minute:02}:04.000\n{text}\n"
    for minute, text in enumerate(
        ("Lit.", "First third, white pepper, and cedar through the nose.", "Touched it up.",
         "Right, second third. Espresso now, no pepper at all.", "I would buy it again.")
    )
)  # fmt: skip


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A folder that is a disk of its own, 4 MB large; `size` and `remounted` change it."""
    place = tmp_path / "disk"
    place.mkdir()
    able = sys.platform == "linux" and os.geteuid() == 0
    done = (
        able
        and not subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=4m", "none", str(place)], capture_output=True
        ).returncode
    )
    need(done, "root, to mount a small disk")
    yield place
    remounted(place, "rw,size=4m")
    subprocess.run(["umount", "--lazy", str(place)], check=True)


def remounted(place: Path, options: str) -> None:
    subprocess.run(["mount", "-o", f"remount,{options}", str(place)], check=True)


@pytest.fixture
def spoken(tmp_path: Path) -> Path:
    path = tmp_path / "stick.vtt"
    path.write_text(SPOKEN, encoding="utf-8")
    return path


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_disk_full_at_every_write(
    disk: Path, spoken: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Before each write in turn the disk is filled to the last byte: by another program, say."""
    understood = session.understand(session_of((spoken,)).transcript, Options((spoken,)))
    monkeypatch.setattr(session, "understand", lambda *_: understood)  # that writes nothing
    whole = contents(write(Options((spoken,), out=tmp_path / "whole")).folder)
    out = disk / "out"
    atomic_write = output.atomic_write
    told: list[str] = []
    for spared in range(50):
        left = spared

        def write_or_fill(path: Path, data: bytes) -> None:
            nonlocal left
            if left == 0:
                (disk / "ballast").write_bytes(b"")
                _fill(disk / "ballast")
            left -= 1
            atomic_write(path, data)

        with monkeypatch.context() as patched:
            patched.setattr(output, "atomic_write", write_or_fill)
            try:
                write(Options((spoken,), out=out))
            except OutputRefused as error:
                told.append(error.message)
        finished = left > 0
        (disk / "ballast").unlink(missing_ok=True)
        if out.exists():
            assert not list(out.rglob(f".*{TEMPORARY}"))
            for name, data in contents(out).items():
                if not name.startswith(".ashdraft"):
                    assert data == whole[name], name
        assert contents(write(Options((spoken,), out=out)).folder) == whole
        if finished:
            break
        _clear(out)
    assert len(told) > 8  # one for each file that is written
    assert all("No room" in message for message in told)
    assert finished


def _fill(path: Path) -> None:
    with path.open("ab", buffering=0) as file:
        for size in (1 << 16, 1 << 12, 1):
            try:
                while True:
                    file.write(bytes(size))
            except OSError:
                continue


def _clear(folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() else path.unlink()


def test_disk_that_is_read_only_is_refused(disk: Path, spoken: Path) -> None:
    (disk / "there").mkdir()
    remounted(disk, "ro")
    for out in (disk / "new", disk / "there"):
        with pytest.raises(OutputRefused, match="cannot be written") as caught:
            write(Options((spoken,), out=out))
        assert "--out" in caught.value.next_step
    assert list(disk.iterdir()) == [disk / "there"]


def test_recording_on_a_read_only_disk_can_be_written_elsewhere(
    disk: Path, spoken: Path, tmp_path: Path
) -> None:
    (disk / "stick.vtt").write_bytes(spoken.read_bytes())
    remounted(disk, "ro")
    with pytest.raises(OutputRefused):
        write(Options((disk / "stick.vtt",)))
    assert write(Options((disk / "stick.vtt",), out=tmp_path / "out")).draft.exists()
