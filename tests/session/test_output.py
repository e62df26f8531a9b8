"""The output folder: never over an edited file, never half a file, one run at a time."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from ashdraft import output
from ashdraft.errors import OutputRefused
from ashdraft.output import Written, atomic_write, default_folder, open_folder

FILES = {"draft.md": "# A draft\n", "notes.json": "{}\n"}


def write(folder: Path, files: dict[str, str], *, force: bool = False) -> tuple[Written, ...]:
    with open_folder(folder, force=force) as opened:
        return opened.write(files)


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_default_folder_is_beside_the_recording_and_named_after_it(tmp_path: Path) -> None:
    assert default_folder([tmp_path / "stick2.m4a"]) == tmp_path / "stick2-draft"
    assert default_folder([tmp_path / "a.wav", tmp_path / "b.wav"]) == tmp_path / "a-draft"
    clips = tmp_path / "1.5 clips"
    clips.mkdir()
    assert default_folder([clips]) == tmp_path / "1.5 clips-draft"


def test_write_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    write(tmp_path / "out", FILES)
    first = contents(tmp_path / "out")
    assert [w.beside for w in write(tmp_path / "out", FILES)] == [None, None]
    assert contents(tmp_path / "out") == first
    assert first["draft.md"] == b"# A draft\n"


def test_unedited_file_is_replaced(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    write(tmp_path, FILES | {"draft.md": "# Better\n"})
    assert (tmp_path / "draft.md").read_text() == "# Better\n"
    assert not list(tmp_path.glob("*.new*"))


def test_edited_file_is_kept_and_the_new_one_goes_beside(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    (tmp_path / "draft.md").write_text("# Mine\n")
    done = write(tmp_path, FILES | {"draft.md": "# Second\n"})
    assert done[0] == Written(tmp_path / "draft.new.md", tmp_path / "draft.md")
    write(tmp_path, FILES | {"draft.md": "# Third\n"})
    assert (tmp_path / "draft.md").read_text() == "# Mine\n"
    assert (tmp_path / "draft.new.md").read_text() == "# Third\n"
    (tmp_path / "draft.new.md").write_text("# Mine too\n")
    write(tmp_path, FILES | {"draft.md": "# Fourth\n"})
    assert (tmp_path / "draft.new.md").read_text() == "# Mine too\n"
    assert (tmp_path / "draft.new2.md").read_text() == "# Fourth\n"


def test_file_that_was_there_before_counts_as_the_users(tmp_path: Path) -> None:
    (tmp_path / "draft.md").write_text("# From elsewhere\n")
    write(tmp_path, FILES)
    assert (tmp_path / "draft.md").read_text() == "# From elsewhere\n"
    assert (tmp_path / "draft.new.md").read_text() == "# A draft\n"


def test_new_draft_renamed_into_place_is_ours_again(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    (tmp_path / "draft.md").write_text("# Mine\n")
    write(tmp_path, FILES | {"draft.md": "# Second\n"})
    (tmp_path / "draft.new.md").replace(tmp_path / "draft.md")
    write(tmp_path, FILES | {"draft.md": "# Third\n"})
    assert (tmp_path / "draft.md").read_text() == "# Third\n"


def test_force_replaces_an_edited_file(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    (tmp_path / "draft.md").write_text("# Mine\n")
    write(tmp_path, FILES, force=True)
    assert (tmp_path / "draft.md").read_text() == "# A draft\n"


def test_damaged_sums_never_cost_an_edit(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    (tmp_path / ".ashdraft/written.json").write_text('{"files": [1]')
    (tmp_path / "draft.md").write_text("# Mine\n")
    write(tmp_path, FILES)
    assert (tmp_path / "draft.md").read_text() == "# Mine\n"


@pytest.mark.parametrize("cut_at", range(5))
def test_run_cut_short_anywhere_can_be_repeated(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cut_at: int
) -> None:
    """Stop before the n-th rename; the next run, with other texts, finds nothing 'edited'."""
    write(tmp_path, FILES)
    real, calls = Path.replace, iter(range(100))

    def replace(self: Path, target: Path) -> Path:
        if next(calls) == cut_at:
            raise KeyboardInterrupt
        return real(self, target)

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", replace)
        with pytest.raises(KeyboardInterrupt):
            write(tmp_path, {name: f"new {text}" for name, text in FILES.items()})
    write(tmp_path, {name: f"last {text}" for name, text in FILES.items()})
    assert (tmp_path / "draft.md").read_text() == "last # A draft\n"
    left = set(contents(tmp_path)) - {".ashdraft/lock"}
    assert left == {".ashdraft/written.json", "draft.md", "notes.json"}


def failing(code: int) -> Callable[[int], None]:
    def fsync(_: int) -> None:
        raise OSError(code, os.strerror(code))

    return fsync


def test_full_disk_is_refused_and_leaves_no_temporary_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, FILES)
    before = contents(tmp_path)
    with open_folder(tmp_path) as folder:
        monkeypatch.setattr(os, "fsync", failing(errno.ENOSPC))
        with pytest.raises(OutputRefused, match="No room") as caught:
            folder.write({"draft.md": "longer\n"})
    assert "same command again" in caught.value.next_step
    assert contents(tmp_path) == before


def test_folder_that_cannot_be_written_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", failing(errno.EROFS))
    with pytest.raises(OutputRefused, match="cannot be written") as caught, open_folder(tmp_path):
        pass
    assert "--out" in caught.value.next_step


@pytest.mark.skipif(sys.platform != "linux", reason="needs /proc, where nobody can make a folder")
def test_folder_that_cannot_be_made_is_refused() -> None:
    with pytest.raises(OutputRefused), open_folder(Path("/proc/ashdraft/out")):
        pass


@pytest.mark.parametrize("below", ["", "deeper/out"])
def test_file_in_the_way_is_refused(tmp_path: Path, below: str) -> None:
    (tmp_path / "taken").write_text("x")
    with pytest.raises(OutputRefused, match="is a file"), open_folder(tmp_path / "taken" / below):
        pass


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes")
def test_work_folder_is_the_owners_only(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    assert stat.S_IMODE((tmp_path / ".ashdraft").stat().st_mode) == 0o700


@pytest.mark.skipif(os.name == "nt", reason="POSIX modes")
def test_replaced_file_keeps_its_mode(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    (tmp_path / "draft.md").chmod(0o600)
    write(tmp_path, FILES | {"draft.md": "other\n"})
    assert stat.S_IMODE((tmp_path / "draft.md").stat().st_mode) == 0o600


def test_leftovers_of_a_killed_run_are_cleared(tmp_path: Path) -> None:
    write(tmp_path, FILES)
    left = [tmp_path / f".draft.md{output.TEMPORARY}", tmp_path / f".ashdraft/.b{output.TEMPORARY}"]
    for path in left:
        path.write_text("half")
    write(tmp_path, FILES)
    assert not any(path.exists() for path in left)


def test_atomic_write_keeps_the_old_file_on_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.txt"
    atomic_write(path, b"old")
    monkeypatch.setattr(os, "fsync", failing(errno.EIO))
    with pytest.raises(OSError, match="error"):
        atomic_write(path, b"new")
    assert contents(tmp_path) == {"a.txt": b"old"}


HOLD = """
import sys, time
from pathlib import Path
from ashdraft.output import open_folder
with open_folder(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_second_run_is_refused_and_a_dead_one_is_not_waited_for(tmp_path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout
        assert other.stdout.readline() == "held\n"
        with pytest.raises(OutputRefused, match="Another run"), open_folder(tmp_path):
            pass
        other.send_signal(signal.SIGKILL)
        other.wait(10)
    write(tmp_path, FILES)
    assert (tmp_path / "draft.md").exists()
