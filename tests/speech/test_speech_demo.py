"""Both bundled recordings through the whole chain: what a listener would have written down."""

from __future__ import annotations

import re
import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from ashdraft.options import Options
from ashdraft.session import Result, write
from ashdraft_samples import demo_recording
from ashdraft_samples.speak import PARTS, Part

from tests.docs.readme import README
from tests.speech.measure import measure

# Measured with `base`, int8, on two cores; word errors at most, notes and trade words at least.
LEVELS = {"night-ferry-live": (0.05, 0.95, 0.83), "weathervane-narration": (0.05, 0.84, 0.92)}


@pytest.fixture(scope="module", params=PARTS, ids=lambda part: part.script.stem)
def run(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The part, its labels, the result and the seconds it took, model loading included."""
    part: Part = request.param
    began = time.perf_counter()
    result = write(Options(inputs=(part.recording,), out=tmp_path_factory.mktemp("demo") / "out"))
    took = time.perf_counter() - began
    return part, yaml.safe_load(part.script.read_text(encoding="utf-8")), result, took


@pytest.mark.slow
def test_demo_counts_every_touch_up_and_relight(run: Any) -> None:
    _, script, result, _ = run
    reading = result.notes.reading
    for count, name in ((reading.touch_ups, "touch_ups"), (reading.relights, "relights")):
        gold = script["gold"][name]
        assert (count.total, list(count.by_third)) == (gold["total"], gold["by_third"])


@pytest.mark.slow
def test_demo_hears_the_words(run: Any) -> None:
    _, script, result, _ = run
    said = " ".join(u.said for u in result.notes.reading.utterances)
    figures = measure(script["utterances"], said)
    errors, notes, trade = LEVELS[script["id"]]
    assert figures.wer <= errors
    assert figures.notes.recall >= notes, figures.notes.lost
    assert figures.trade.recall >= trade, figures.trade.lost


@pytest.mark.slow
def test_demo_takes_less_than_three_minutes(run: Any) -> None:
    part, _, _, took = run
    assert took < 180, part.recording.name


@pytest.mark.slow
@pytest.mark.parametrize(
    "run", [p for p in PARTS if p.recording == demo_recording()], indirect=True
)
def test_demo_draft_holds_what_the_readme_shows_of_it(run: Any) -> None:
    """Most lines: other processors may hear a word differently."""
    result: Result = run[2]
    shown = re.findall(r"^```markdown\n(.*?)^```$", README.read_text("utf-8"), re.M | re.S)[0]
    lines = [line for line in shown.splitlines() if line]
    draft = result.draft.read_text(encoding="utf-8").splitlines()
    assert sum(line in draft for line in lines) >= 0.8 * len(lines)


@pytest.mark.slow
def test_demo_leaves_every_file(run: Any) -> None:
    result: Result = run[2]
    names = ("draft.md", "notes.json", "captions.vtt", "captions.srt", "chapters.txt")
    assert all(Path(result.folder, name).stat().st_size for name in names)
