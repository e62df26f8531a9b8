"""The page at the table in Chromium, its fake microphone fed from a spoken sample."""

from __future__ import annotations

import difflib
import json
import os
import re
import shutil
import subprocess
import sys
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from ashdraft.export import read_folder
from ashdraft.options import Options
from ashdraft.session import write
from ashdraft.table import flac
from ashdraft.table.log import read

from tests.needs import need

pytestmark = pytest.mark.slow
HERE = Path(__file__).parent / "browser"
SAMPLE = Path(__file__).parents[2] / "samples" / "weathervane-narration.ogg"


class Phone:
    """Chromium with one spoken sample for a microphone, driven by `browser/table.mjs`."""

    def __init__(self, folder: Path, chromium: str, sound: Path) -> None:
        self.folder, self.chromium, self.sound = folder, chromium, sound

    def __call__(self, root: Path, scenario: str, pictures: Path) -> dict[str, Any]:
        command = [
            "node", self.folder / "table.mjs", self.chromium, sys.executable, root, self.sound,
            scenario, pictures,
        ]  # fmt: skip
        done = subprocess.run(
            list(map(str, command)), capture_output=True, text=True, timeout=500,
            env={**os.environ, "XDG_DATA_HOME": str(self.folder / "data")},
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return dict(json.loads(done.stdout))


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Phone:
    chromium = shutil.which("chromium")
    need(chromium, "chromium is not installed (Debian package chromium)")
    need(shutil.which("npm"), "npm is not installed (Debian packages nodejs, npm)")
    need(shutil.which("ffmpeg"), "ffmpeg is not installed (Debian package ffmpeg)")
    folder = tmp_path_factory.mktemp("phone")
    shutil.copytree(HERE, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("node_modules"))
    install = "npm install --no-audit --no-fund --no-package-lock --ignore-scripts".split()
    got = subprocess.run(install, cwd=folder, capture_output=True, timeout=300)
    need(got.returncode == 0, "the npm packages in tests/table/browser cannot be installed")
    sound = folder / "said.wav"
    convert = f"ffmpeg -v error -t 75 -i {SAMPLE} -ac 1 -ar 48000 {sound}"
    subprocess.run(convert.split(), check=True)
    return Phone(folder, str(chromium), sound)


def words(folder: Path) -> list[str]:
    said = " ".join(u.heard for u in read_folder(folder).notes.reading.utterances)
    return re.findall(r"[a-z]+", said.lower())


def test_a_killed_server_costs_nothing(phone: Phone, tmp_path: Path) -> None:
    """The words are those that the command line finds in the same sound."""
    root = tmp_path / "root"
    steps = phone(root, "record", tmp_path)
    assert steps["said"] == []
    assert steps["level"] > 0
    assert "does not answer" in steps["dead"]
    assert re.search(r"[1-9]\d* parts wait", steps["dead"])
    assert steps["line"] == "Everything is on the computer."
    assert "is ready" in steps["draft"]
    (recording,) = (path.parent for path in root.glob("*/taps.jsonl"))
    log = read(recording / "taps.jsonl")
    assert log is not None
    assert [tap.kind for tap in log.taps] == ["touch-up", "relight"]
    assert log.stopped
    (take,) = recording.glob("*.flac")  # no gap: one run of sound
    rate, moment, sound = flac.read(take)
    seconds = sum(len(part) for part in sound) / rate
    assert 38 < seconds < 50
    assert abs((log.taps[1].moment - moment).total_seconds() - (seconds - 12)) < 1.5
    same = tmp_path / "same.wav"
    cut = f"ffmpeg -v error -t {seconds} -i {phone.sound} {same}"
    subprocess.run(cut.split(), check=True)
    write(Options(inputs=(same,), out=tmp_path / "same-draft"))
    ours = words(root / f"{recording.name}-draft")
    theirs = words(tmp_path / "same-draft")
    assert len(theirs) > 60
    assert difflib.SequenceMatcher(None, ours, theirs, autojunk=False).ratio() > 0.95
    draft = (root / f"{recording.name}-draft" / "draft.md").read_text()
    assert "cap cracked" in draft
    assert "1 touch-up counted from your taps" in draft


def test_reload_dead_server_and_cut_line_leave_gaps_on_the_clock(
    phone: Phone, tmp_path: Path
) -> None:
    root = tmp_path / "root"
    steps = phone(root, "broken", tmp_path)
    assert steps["said"] == []
    assert "wait" in steps["offline"]
    assert steps["taps"] == "1"
    assert "is ready" in steps["draft"]
    (recording,) = (path.parent for path in root.glob("*/taps.jsonl"))
    log = read(recording / "taps.jsonl")
    assert log is not None
    spans: list[tuple[datetime, float]] = []
    for take in sorted(recording.glob("take-*.flac")):
        rate, moment, sound = flac.read(take)
        spans.append((moment, sum(len(part) for part in sound) / rate))
    before = [s for m, s in spans if m < log_mark(recording, "back")]
    assert sum(before) > 15.5  # 17 s or so before the reload; a second of it may be lost
    gaps = [(b - a).total_seconds() - seconds for (a, seconds), (b, _) in pairwise(spans)]
    assert all(gap >= -0.05 for gap in gaps)
    assert any(1.5 < gap < 4 for gap in gaps)  # the pause of two seconds
    assert any(3 < gap < 12 for gap in gaps)  # reloaded, and four seconds until it went on


def log_mark(recording: Path, what: str) -> datetime:
    rows = map(json.loads, (recording / "taps.jsonl").read_text().splitlines()[1:])
    return next(datetime.fromisoformat(row["moment"]) for row in rows if row.get("mark") == what)


def test_a_warning_passed_over_still_lends_the_microphone(phone: Phone, tmp_path: Path) -> None:
    """As on a phone that was told to go on: a certificate that the browser does not know."""
    steps = phone(tmp_path / "root", "passed", tmp_path)
    assert steps["said"] == []
    assert steps["secure"]
    assert list((tmp_path / "root").glob("*/piece-000001.flac"))


def test_pages_have_no_violations_and_fit(phone: Phone, tmp_path: Path) -> None:
    """axe-core's default rules; targets of 44 CSS pixels (WCAG 2.2, 2.5.5); keyboard alone."""
    steps = phone(tmp_path / "root", "look", tmp_path)
    assert steps["said"] == []
    assert len(steps["found"]) == 4 * 7
    for page in steps["found"]:
        assert page["passed"] >= 8
        assert page["violations"] == [], (page["name"], page["size"], page["colorScheme"])
        assert page["overflow"] <= 0, (page["name"], page["size"])
        assert page["small"] == [], (page["name"], page["size"])
