"""The desk in a browser: keyboard alone, axe-core, no request elsewhere, and how long it takes."""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from ashdraft.model import Check, Notes, Utterance
from ashdraft.serve import make_app
from ashdraft.serve.devices import Devices
from ashdraft.serve.sessions import Sessions

from tests.desk.made import notes, write
from tests.needs import need

pytestmark = pytest.mark.slow
HERE = Path(__file__).parent / "browser"
PACKAGES = Path(__file__).parents[1] / "page" / "browser" / "package.json"


@pytest.fixture(scope="module")
def driver(tmp_path_factory: pytest.TempPathFactory) -> Path:
    need(shutil.which("chromium"), "chromium is not installed (Debian package chromium)")
    need(shutil.which("npm"), "npm is not installed (Debian packages nodejs, npm)")
    folder = tmp_path_factory.mktemp("browser")
    shutil.copy(HERE / "desk.mjs", folder)
    shutil.copy(PACKAGES, folder)
    install = "npm install --no-audit --no-fund --no-package-lock --ignore-scripts".split()
    got = subprocess.run(install, cwd=folder, capture_output=True, timeout=300)
    need(got.returncode == 0, "the npm packages in tests/page/browser cannot be installed")
    return folder


@contextmanager
def served(root: Path) -> Iterator[tuple[str, str]]:
    """The pages of `root` on a port of their own: the desk's address, and a device's token."""
    devices = Devices()
    config = uvicorn.Config(make_app(root, devices=devices), port=0, log_level="warning")
    server = uvicorn.Server(config)
    running = threading.Thread(target=server.run)
    running.start()
    try:
        while not server.started:
            running.join(0.05)
            assert running.is_alive()
        port = server.servers[0].sockets[0].getsockname()[1]
        (found,) = Sessions(root)
        yield f"http://127.0.0.1:{port}/desk/{found.id}", devices.new_token()
    finally:
        server.should_exit = True
        running.join(20)


def driven(driver: Path, what: str, root: Path) -> Any:
    with served(root) as (url, token):
        command = ["node", "desk.mjs", str(shutil.which("chromium")), what, url, token]
        done = subprocess.run(command, cwd=driver, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_pages_have_no_violations_ask_for_nothing_else_and_fit(
    driver: Path, tmp_path: Path
) -> None:
    """axe-core with its default rules (WCAG 2 A, AA and best practices), light and dark."""
    write(tmp_path / "stick", notes(), recording=True)
    found = driven(driver, "look", tmp_path)
    assert len(found) == 16
    for page in found:
        where = (page["name"], page["size"], page["colorScheme"])
        assert page["violations"] == [], where
        assert page["passed"] >= 10, where
        assert page["said"] == [], where
        assert page["overflow"] <= 0, where


def test_a_session_is_worked_on_with_the_keyboard_alone(driver: Path, tmp_path: Path) -> None:
    folder = write(tmp_path / "stick", notes(), recording=True)
    steps = driven(driver, "work", tmp_path)
    assert (steps["doubtful"]["doubt"], steps["doubtful"]["doubts"]) == ("cedar", "2")
    assert steps["doubtful"]["play"] == "Pause"
    assert steps["paused"]["play"] == "Play"
    assert steps["accepted"]["doubts"] == "1"
    assert steps["typed"]["text"] == "A sudden end."
    assert "A sudden end." in steps["typed"]["draft"]
    assert steps["struck"]["about"].startswith("struck")
    assert "Relit it just now." not in steps["struck"]["draft"].split("Score sheet")[0]
    assert steps["back"]["about"].startswith("burn, second third")
    assert steps["moved"]["about"].startswith("verdict")
    assert "hay" in steps["noted"]["about"]
    assert (steps["split"]["rows"], steps["merged"]["rows"]) == (7, 6)
    assert steps["slower"]["speed"] == "0.8×"
    assert steps["played"]["clock"] in ("0:23", "0:24", "0:25")
    assert steps["said"] == []
    assert "A sudden end." in (folder / "draft.md").read_text("utf-8")


def test_the_sheet_is_filled_and_added_up_only_when_asked(driver: Path, tmp_path: Path) -> None:
    folder = write(tmp_path / "stick", notes(), recording=True)
    done = driven(driver, "sheet", tmp_path)
    assert (done["before"], done["quiet"]) == ("", "")
    assert "off the scale" in done["complaint"]
    assert done["clock"] in ("0:12", "0:13")
    assert done["wanted"] == "0:12"
    assert "7.00" in done["total"]
    assert "| Palate | Balance | 8 | 7 |" in (folder / "draft.md").read_text("utf-8")


def test_a_session_of_two_thousand_sentences_answers_at_once(driver: Path, tmp_path: Path) -> None:
    """Interactive soon, and an edit shown soon (the median of nine).

    The aims are 1 s and 100 ms on a quiet machine; what is held here leaves room for a busy one.
    """
    write(tmp_path / "long", long_session())
    found = driven(driver, "load", tmp_path)
    print(found)
    assert found["interactive"] < 5000
    assert statistics.median(found["edits"]) < 1000


def long_session() -> Notes:
    """Three hours of 2,000 sentences, one in twenty doubtful."""
    made = notes()
    utterances = tuple(
        Utterance(
            n, 5.4 * n, 5.4 * n + 4, f"{u.heard} Number {n}.", f"{u.said} Number {n}.",
            f"{u.text} Number {n}.", u.section, u.third, u.third_basis, 0.9,
        )
        for n, u in ((n, made.reading.utterances[n % 6]) for n in range(2000))
    )  # fmt: skip
    checks = tuple(
        Check("hearing", "May be mis-heard: “Number”.", (n,)) for n in range(0, 2000, 20)
    )
    reading = replace(made.reading, utterances=utterances)
    recording = replace(made.recordings[0], duration=10_800.0)
    return replace(made, recordings=(recording,), reading=reading, checks=checks, repairs=())
