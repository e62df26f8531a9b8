"""The page and the blank sheet in a browser: axe-core, content policy, keyboard, paper."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import wave
from pathlib import Path
from typing import Any

import pytest
from ashdraft.page import page_html, playable
from ashdraft.printed import PAPERS, blank_sheet, sheet_html
from ashdraft.sheet import load_sheet
from pypdf import PdfReader

from tests.assemble.gold import FILES
from tests.needs import need
from tests.page.made import SOUND, draft_of, notes, saying
from tests.page.test_page_html import HOSTILE

pytestmark = pytest.mark.slow
HERE = Path(__file__).parent / "browser"


class Browser:
    """Chromium, driven by `browser/look.mjs` from a folder with its packages installed."""

    def __init__(self, folder: Path, chromium: str) -> None:
        self.folder, self.chromium = folder, chromium

    def __call__(self, what: str, *files: Path) -> list[Any]:
        command = ["node", str(self.folder / "look.mjs"), self.chromium, what, *map(str, files)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=300)
        assert done.returncode == 0, done.stderr
        return list(json.loads(done.stdout))


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Browser:
    chromium = shutil.which("chromium")
    need(chromium, "chromium is not installed (Debian package chromium)")
    need(shutil.which("npm"), "npm is not installed (Debian packages nodejs, npm)")
    folder = tmp_path_factory.mktemp("browser")
    shutil.copytree(HERE, folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("node_modules"))
    install = "npm install --no-audit --no-fund --no-package-lock --ignore-scripts".split()
    got = subprocess.run(install, cwd=folder, capture_output=True, timeout=300)
    need(got.returncode == 0, "the npm packages in tests/page/browser cannot be installed")
    return Browser(folder, str(chromium))


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Pages of a labelled recording and of hostile speech, and the blank sheet."""
    folder = tmp_path_factory.mktemp("pages")
    made = {path.stem: notes(path.stem) for path in FILES[:1]} | {"hostile": saying(HOSTILE)}
    texts = {name: page_html(draft_of(n), n, SOUND) for name, n in made.items()}
    texts["sheet"] = sheet_html(blank_sheet(load_sheet()))
    for name, text in texts.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return sorted(folder.glob("*.html"))


def test_pages_have_no_violations_ask_for_nothing_and_fit(
    browser: Browser, pages: list[Path]
) -> None:
    """axe-core with its default rules (WCAG 2 A, AA and best practices), light and dark."""
    found = browser("look", *pages)
    assert len(found) == 4 * len(pages)
    for page in found:
        assert page["passed"] >= 10
        assert page["violations"] == [], page["file"]
        assert page["asked"] == []
        assert page["said"] == []
        if "sheet" not in page["file"]:
            assert page["overflow"] <= 0, (page["file"], page["size"])


def test_keyboard_and_pointer_play_the_recording(browser: Browser, tmp_path: Path) -> None:
    made = notes()
    folder = tmp_path / "stick-draft"
    folder.mkdir()
    with wave.open(str(tmp_path / "porch #1 100%.wav"), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(4000)
        sound.writeframes(bytes([128]) * int(4000 * made.recordings[0].duration))
    played = playable(made.recordings, folder, [tmp_path / "porch #1 100%.wav"])
    (folder / "draft.html").write_text(page_html(draft_of(made), made, played), encoding="utf-8")
    (seen,) = browser("play", folder / "draft.html")
    assert seen["said"] == []
    assert not seen["before"]["shown"]
    assert seen["first"] == "To the draft"
    assert seen["entered"]["fault"] is None
    assert seen["entered"]["shown"]
    assert not seen["entered"]["paused"]
    assert 0 <= seen["entered"]["at"] - seen["wanted"] < 3
    assert seen["entered"]["told"].endswith("porch #1 100%.wav")
    assert seen["escaped"]["paused"]
    assert 0 <= seen["clicked"]["at"] - seen["clickWanted"] < 3
    assert seen["again"]["paused"]
    assert not seen["strip"]["paused"]
    assert seen["strip"]["pressed"] != seen["clicked"]["pressed"]


def test_blank_sheet_prints_on_one_page(browser: Browser, tmp_path: Path) -> None:
    for paper in PAPERS:
        html = sheet_html(blank_sheet(load_sheet(), paper))
        (tmp_path / f"{paper}.html").write_text(html, encoding="utf-8")
    for paper, printed in zip(
        PAPERS, browser("print", *(tmp_path / f"{p}.html" for p in PAPERS)), strict=True
    ):
        (page,) = PdfReader(io.BytesIO(Path(printed).read_bytes())).pages
        size = [float(n) / 72 * 25.4 for n in page.mediabox[2:]]
        assert size == pytest.approx(PAPERS[paper], abs=0.5)


def test_page_prints_its_text_and_no_player(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "draft.html"
    file.write_text(page_html(draft_of(notes()), notes(), SOUND), encoding="utf-8")
    (printed,) = browser("print", file)
    pages = PdfReader(io.BytesIO(Path(printed).read_bytes())).pages
    text = "".join("".join(p.extract_text().split()) for p in pages)
    assert "Checkbeforepublishing" in text
    assert "Tothedraft" not in text
