"""Every failure: its own exit code, a message with a next step on stderr, no traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft import errors, session
from ashdraft.cli import app
from typer.testing import CliRunner

RUN = CliRunner()
CLASSES = sorted(
    (
        c
        for c in vars(errors).values()
        if isinstance(c, type) and issubclass(c, errors.AshdraftError)
    ),
    key=lambda c: c.exit_code,
)
SPOKEN = "a whisper of tamarind"


def failing(monkeypatch: pytest.MonkeyPatch, fault: BaseException) -> None:
    def write(*_: object) -> None:
        raise fault

    monkeypatch.setattr(session, "write", write)


def test_every_class_has_a_code_of_its_own() -> None:
    codes = [c.exit_code for c in CLASSES]
    assert len(codes) == len(set(codes))
    assert not {0, 130} & set(codes)


@pytest.mark.parametrize("failure", CLASSES[1:], ids=lambda c: c.__name__)
def test_error_becomes_its_exit_code(
    failure: type[errors.AshdraftError], monkeypatch: pytest.MonkeyPatch
) -> None:
    failing(monkeypatch, failure("stick.wav is no good.", "Try another one."))
    done = RUN.invoke(app, ["write", "stick.wav"])
    assert done.exit_code == failure.exit_code
    assert done.stderr == "ashdraft: stick.wav is no good.\n  Try another one.\n"
    assert done.stdout == ""


def test_interrupt_says_that_work_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, KeyboardInterrupt())
    done = RUN.invoke(app, ["write", "stick.wav"])
    assert done.exit_code == 130
    assert "Finished blocks are kept; type the same command to go on." in done.stderr


def test_bug_is_told_without_spoken_words(monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, ValueError(SPOKEN))
    done = RUN.invoke(app, ["write", "stick.wav"])
    assert done.exit_code == 1
    assert "ValueError in run.py, line " in done.stderr
    assert "--debug" in done.stderr
    assert "Traceback" not in done.stderr
    assert SPOKEN not in done.output


def test_debug_shows_the_frames_but_not_the_words(monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, ValueError(SPOKEN))
    done = RUN.invoke(app, ["write", "stick.wav", "--debug"])
    assert done.exit_code == 1
    assert 'run.py", line' in done.stderr
    assert "session.write(options, progress)" in done.stderr
    assert SPOKEN not in done.output


def test_control_characters_in_a_file_name_are_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    failing(monkeypatch, errors.NotMedia("a\x1b[31m\nb.wav is empty."))
    done = RUN.invoke(app, ["write", "stick.wav"])
    assert done.stderr == "ashdraft: a\\x1b[31m\\nb.wav is empty.\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["write"], "Missing argument"),
        (["write", "a.wav", "--device", "gpu"], "cpu, cuda"),
        (["write", "a.wav", "--threads", "-1"], "negative"),
        (["write", "a.wav", "--threads", "many"], "--threads"),
        (["write", "a.wav", "--size", "big"], "6x52"),
        (["write", "a.wav", "--price", "-1"], "price must be 0 to"),
        (["write", "a.wav", "--rh", "nan"], "humidity"),
        (["write", "a.wav", "--currency", "dollars"], "three-letter"),
        (["write", "a.wav", "--obtained", "stolen"], "bought, gifted, sample"),
        (["write", "a.wav", "--name", " "], "must be text"),
        (["write", "a.wav", "--loud"], "--loud"),
        (["review"], "review"),
    ],
)
def test_value_that_cannot_work_is_a_usage_error(arguments: list[str], words: str) -> None:
    done = RUN.invoke(app, arguments)
    assert done.exit_code == 2
    assert words in done.stderr
    assert done.stdout == ""


def test_facts_file_with_a_mistake_is_named(tmp_path: Path) -> None:
    path = tmp_path / "facts.toml"
    path.write_text('colour = "brown"')
    done = RUN.invoke(app, ["write", "a.wav", "--facts", str(path)])
    assert done.exit_code == errors.DataDamaged.exit_code
    assert "facts.toml, line 1" in done.stderr
