"""The bundled recordings: labelled by the rules, as long as their scripts, small enough to ship."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import av
import pytest
import yaml
from ashdraft.model import SECTIONS
from ashdraft_samples import FOLDER, LIVE, NARRATION, demo_recording
from ashdraft_samples.speak import PARTS, Part

both = pytest.mark.parametrize("part", PARTS, ids=lambda part: part.script.stem)


def labels(part: Part) -> dict[str, Any]:
    return dict(yaml.safe_load(part.script.read_text(encoding="utf-8")))


def length(recording: Path) -> float:
    with av.open(str(recording)) as file:
        return float(file.duration or 0) / 1_000_000


@both
def test_samples_scripts_follow_the_labelling_rules(part: Part) -> None:
    script = labels(part)
    for number, u in enumerate(script["utterances"]):
        where = f"{part.script.name} utterance {number}"
        assert u["section"] in SECTIONS, where
        assert u["third"] in (None, 1, 2, 3), where
        assert u["third"] is None or u["section"] in ("palate", "burn"), where
        for d in u["descriptors"]:
            assert d["term"].lower() in u["text"].lower(), where
            assert d["polarity"] == "present" or d["intensity"] == "plain", where
        assert not u["events"] or script["kind"] == "live", where
    starts = [u["at"] for u in script["utterances"]]
    assert starts == sorted(starts)
    for chapter in script["gold"]["chapters"]:
        assert script["utterances"][chapter["utterance"]]["section"] == chapter["section"]


def test_samples_live_counts_are_those_of_its_events() -> None:
    script = labels(PARTS[0])
    events = Counter((e, u["third"]) for u in script["utterances"] for e in u["events"])
    for name, event in (("touch_ups", "touch-up"), ("relights", "relight")):
        by_third = [events[event, third] for third in (1, 2, 3)]
        assert script["gold"][name] == {"total": sum(by_third), "by_third": by_third}


@both
def test_samples_recordings_are_as_long_as_their_scripts(part: Part) -> None:
    last = labels(part)["utterances"][-1]
    assert last["at"] < length(part.recording) < last["at"] + 15


def test_samples_have_the_lengths_and_the_size_they_should() -> None:
    assert 25 * 60 <= length(LIVE) <= 40 * 60
    assert 6 * 60 <= length(NARRATION) <= 9 * 60
    assert LIVE.stat().st_size + NARRATION.stat().st_size < 10_000_000
    assert demo_recording() == LIVE


def test_samples_readme_names_every_recording() -> None:
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    for part in PARTS:
        assert part.recording.name in text
