"""Many sessions in one command: each by itself, failures told, what is done skipped."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from multiprocessing.connection import Connection
from pathlib import Path

import pytest
from ashdraft.batch import run as batch
from ashdraft.batch import write_each
from ashdraft.batch.outcome import Outcome
from ashdraft.batch.sessions import Planned, plan
from ashdraft.batch.worker import belong
from ashdraft.cli import app
from ashdraft.cli.each import table
from ashdraft.errors import InputMissing, SomeNotWritten, UsageError
from ashdraft.options import Options
from ashdraft.progress import Silent
from typer.testing import CliRunner

SPOKEN = "WEBVTT\n\n01:00.000 --> 01:04.000\nLit.\n\n02:00.000 --> 02:04.000\nCedar, a lot of it.\n"


def names(planned: tuple[Planned, ...]) -> dict[str, str]:
    return {one.source.name: one.out.name for one in planned}


def test_plan_of_a_folder(tmp_path: Path) -> None:
    for name in (
        "2.m4a",
        "10.m4a",
        "b.wav",
        "b.mp3",
        "b.vtt",
        "c.srt",
        "x.jpg",
        ".d.wav",
        "n.json",
    ):
        (tmp_path / name).write_bytes(b"x")
    for name in ("clips/1.wav", "clips/2.wav", "2-draft/.ashdraft/lock", "2-draft/clip.mp3",
                 "empty/readme.txt"):  # fmt: skip
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(b"x")
    assert list(names(plan([tmp_path], None)).items()) == [
        ("2.m4a", "2-draft"), ("10.m4a", "10-draft"), ("b.mp3", "b.mp3-draft"),
        ("b.wav", "b.wav-draft"), ("c.srt", "c-draft"), ("clips", "clips-draft"),
    ]  # fmt: skip


def test_plan_takes_a_file_once_and_refuses_a_shared_folder(tmp_path: Path) -> None:
    for folder in ("one", "two"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "a.wav").write_bytes(b"x")
    one, two = tmp_path / "one/a.wav", tmp_path / "two/a.wav"
    assert len(plan([one, tmp_path / "one", one], None)) == 1
    assert len({p.out for p in plan([one, two], None)}) == 2
    with pytest.raises(UsageError, match="Two recordings"):
        plan([one, two], tmp_path / "drafts")


def test_plan_of_a_folder_without_recordings(tmp_path: Path) -> None:
    with pytest.raises(InputMissing):
        plan([tmp_path], None)


def dies(planned: Planned, key: str, options: Options, answer: Connection) -> None:
    """In place of a session: one crashes, as a decoder might, the others are written."""
    if planned.source.name.startswith("bad"):
        os.kill(os.getpid(), signal.SIGKILL)
    answer.send(Outcome(planned.source, planned.out, "written"))


def hangs(planned: Planned, key: str, options: Options, answer: Connection) -> None:
    """In place of a session: one that says where it is and never ends."""
    belong()
    Path(f"{planned.out}.pid").write_text(str(os.getpid()))
    time.sleep(600)


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_crash_of_one_stops_no_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(batch, "work", dies)
    for name in ("a.vtt", "bad.vtt", "c.vtt"):
        (tmp_path / name).write_text(SPOKEN)
    outcomes = write_each(Options((tmp_path,)), 2, Silent())
    assert [(o.state, o.exit_code) for o in outcomes] == [
        ("written", 0), ("not written", 1), ("written", 0)
    ]  # fmt: skip
    assert "code -9" in outcomes[1].message


STARTED = """
import sys
from pathlib import Path
from tests.reliability.test_reliability_each import batch, hangs
from ashdraft.options import Options
from ashdraft.progress import Silent
if __name__ == "__main__":
    batch.work = hangs
    batch.write_each(Options((Path(sys.argv[1]),)), 2, Silent())
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="/proc is Linux's")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGKILL])
def test_no_process_outlives_the_command(number: signal.Signals, tmp_path: Path) -> None:
    for name in ("a.vtt", "b.vtt"):
        (tmp_path / name).write_text(SPOKEN)
    program = tmp_path / "program.py"
    program.write_text(STARTED)
    root = Path(__file__).parents[2]
    process = subprocess.Popen(
        [sys.executable, str(program), str(tmp_path)],
        env={**os.environ, "PYTHONPATH": str(root)}, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    told = [tmp_path / "a-draft.pid", tmp_path / "b-draft.pid"]
    _until(lambda: all(path.exists() and path.read_text() for path in told))
    process.send_signal(number)
    process.wait(10)
    _until(lambda: not any(_alive(int(path.read_text())) for path in told))


def _alive(process: int) -> bool:
    stat = Path(f"/proc/{process}/stat")
    return stat.exists() and stat.read_text().rpartition(")")[2].split()[0] != "Z"


def _until(true: object) -> None:
    for _ in range(600):
        if true():  # type: ignore[operator]
            return
        time.sleep(0.05)
    raise AssertionError("waited in vain")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "a.vtt").write_text(SPOKEN)
    (tmp_path / "bad.mp3").write_bytes(b"no sound at all")
    return tmp_path


def test_command_reports_the_bad_one_and_skips_what_is_done(folder: Path) -> None:
    run = CliRunner()
    command = ["write", "--each", str(folder), "--jobs", "2"]
    first = run.invoke(app, command)
    assert first.exit_code == SomeNotWritten.exit_code
    assert "1 written, 1 not written" in first.stdout
    assert "bad.mp3 is not a recording" in first.stdout
    draft = folder / "a-draft/draft.md"
    before = draft.stat().st_mtime_ns, draft.stat().st_ino
    second = run.invoke(app, command)
    assert second.exit_code == SomeNotWritten.exit_code
    assert "1 done before, 1 not written" in second.stdout
    assert (draft.stat().st_mtime_ns, draft.stat().st_ino) == before
    (folder / "bad.mp3").unlink()
    assert run.invoke(app, command).exit_code == 0
    assert json.loads((folder / "a-draft/.ashdraft/done.json").read_bytes())["key"]


@pytest.mark.slow
def test_what_was_changed_is_written_again_and_edits_are_kept(folder: Path) -> None:
    (folder / "bad.mp3").unlink()
    asked = Options((folder,))
    assert [o.state for o in write_each(asked, 1, Silent())] == ["written"]
    draft = folder / "a-draft/draft.md"
    draft.write_text("mine")
    assert [o.state for o in write_each(asked, 1, Silent())] == ["done before"]
    for changed in (
        lambda: Options((folder,), caution=False),
        lambda: Options((folder,), facts={"maker": "Farlow Bridge"}),
    ):
        outcomes = write_each(changed(), 1, Silent())
        assert [o.state for o in outcomes] == ["written"]
        assert draft.read_text() == "mine"
    (folder / "a.vtt").write_text(SPOKEN + "\n03:00.000 --> 03:04.000\nIt went out.\n")
    assert [o.state for o in write_each(asked, 1, Silent())] == ["written"]
    (folder / "a-draft/notes.json").unlink()
    assert [o.state for o in write_each(asked, 1, Silent())] == ["written"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [(["--jobs", "2"], "Add --each"), (["--each", "--jobs", "0"], "1 or more")],
)
def test_jobs_need_several_sessions(arguments: list[str], words: str, folder: Path) -> None:
    done = CliRunner().invoke(app, ["write", str(folder), *arguments])
    assert done.exit_code == UsageError.exit_code
    assert words in done.stderr


def test_table_shows_hostile_names_as_text() -> None:
    told = table(
        [
            Outcome(
                Path("a\n\x1b[31mb.wav"), Path("out"), "not written", exit_code=4, message="x\ny"
            ),
            Outcome(
                Path("z" * 200 + ".wav"), Path("out"), "written", Path("o/\u202ed.md"), 60, 2, 9
            ),
        ]
    )
    assert all(line.isprintable() for line in told.split("\n"))
    assert "a\\n\\x1b[31mb.wav" in told
    assert max(map(len, told.split("\n"))) < 120
