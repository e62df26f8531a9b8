"""The real stages on a finished transcript, and once on sound: no network, no words in messages."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
import webvtt
from ashdraft.export import notes_json, read_notes
from ashdraft.options import Options
from ashdraft.session import Result, write

SPOKEN = """\
WEBVTT

00:04.000 --> 00:09.000
It is five and a half by forty-six, a corona gorda.

03:00.000 --> 03:02.000
Lit.

04:00.000 --> 04:05.000
First third, white pepper, and cedar through the nose.

07:00.000 --> 07:03.000
Touched it up, the far side was lagging.

20:00.000 --> 20:04.000
Right, second third. Espresso now, no pepper at all.

40:00.000 --> 40:04.000
Final third. Cedar on the finish.

50:00.000 --> 50:04.000
I would buy it again.
"""


@pytest.fixture(scope="module")
def spoken(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("spoken") / "stick.vtt"
    path.write_text(SPOKEN, encoding="utf-8")
    return path


@pytest.fixture
def no_sockets(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Refuse every connection and name look-up, and list them: a caller may swallow a refusal.

    A socket that is only made is let be: libraries make one to learn whether IPv6 is there.
    """
    asked: list[str] = []

    def refuse(*arguments: object, **_: object) -> None:
        asked.append(repr(arguments))
        raise OSError("the network is off")

    for name in ("connect", "connect_ex", "sendto", "sendmsg"):
        monkeypatch.setattr(socket.socket, name, refuse)
    for name in ("create_connection", "getaddrinfo", "gethostbyname"):
        monkeypatch.setattr(socket, name, refuse)
    return asked


def test_forbidden_network_is_noticed(no_sockets: list[str]) -> None:
    with pytest.raises(OSError, match="network is off"):
        urllib.request.urlopen("http://127.0.0.1:9/")
    assert no_sockets


def files(folder: Path) -> dict[str, bytes]:
    found = {str(p.relative_to(folder)): p for p in folder.rglob("*") if p.is_file()}
    return {name: p.read_bytes() for name, p in found.items()}


def check(result: Result) -> None:
    """What holds for every finished folder."""
    text = (result.folder / "notes.json").read_text("utf-8")
    assert notes_json(read_notes(text)) == text
    captions = webvtt.read(str(result.folder / "captions.vtt"))
    assert len(captions) >= sum(bool(u.text) for u in result.notes.reading.utterances)
    assert (result.folder / "draft.md").read_text("utf-8").startswith("---\n")


def test_transcript_becomes_a_draft_without_network(
    spoken: Path, tmp_path: Path, no_sockets: list[str]
) -> None:
    result = write(Options((spoken,), out=tmp_path / "out", facts={"ring_gauge": 48}))
    assert no_sockets == []
    check(result)
    notes = json.loads((tmp_path / "out/notes.json").read_text("utf-8"))
    assert notes["counts"]["touch_ups"]["total"] == 1
    assert notes["facts"]["ring_gauge"] == 48
    assert notes["facts"]["length_in"] == 5.5
    assert any(check.kind == "fact" for check in result.notes.checks)
    draft = (tmp_path / "out/draft.md").read_text("utf-8")
    assert "white pepper" in draft
    assert "typed as 48 and said as 46" in draft


def test_same_input_gives_the_same_bytes_from_notes_too(spoken: Path, tmp_path: Path) -> None:
    first = write(Options((spoken,), out=tmp_path / "one"))
    again = write(Options((spoken,), out=tmp_path / "two"))
    assert files(first.folder) == files(again.folder)
    from_notes = write(Options((first.folder / "notes.json",), out=tmp_path / "three"))
    assert files(from_notes.folder) == files(first.folder)


def test_messages_hold_no_spoken_words(spoken: Path, tmp_path: Path) -> None:
    """Stdout has the summary, stderr has progress; neither has a tasting note from the speech."""
    done = subprocess.run(
        [sys.executable, "-m", "ashdraft", "write", str(spoken), "--out", str(tmp_path / "né")],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.endswith(f"{tmp_path}/n\\xe9/draft.md\n")  # as ASCII can show it
    words = set(re.findall(r"[a-z]{5,}", done.stderr.lower()))
    assert not words & {"espresso", "pepper", "cedar", "lagging", "white", "finish", "again"}


@pytest.mark.slow
def test_recording_becomes_a_draft_without_network(tmp_path: Path, no_sockets: list[str]) -> None:
    import ashdraft_samples

    options = Options((ashdraft_samples.NARRATION,), out=tmp_path / "out", model="tiny.en")
    result = write(options)
    assert no_sockets == []
    check(result)
    before = files(result.folder)
    assert files(write(options).folder) == before
