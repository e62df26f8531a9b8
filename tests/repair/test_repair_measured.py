"""Recognised recordings with known words: what repair brings, and what it must not cost."""

from __future__ import annotations

import pytest

from tests.repair.measured import Outcome, outcome, table
from tests.repair.recordings import recordings
from tests.speech.measure import pooled


@pytest.fixture(scope="module")
def outcomes() -> list[Outcome]:
    return [outcome(r) for r in recordings()]


@pytest.mark.slow
def test_measured_repair_nets_out_for_every_recording(outcomes: list[Outcome]) -> None:
    for o in outcomes:
        assert o.mended.wer <= o.raw.wer, table([o])
        assert o.mended.notes.recall >= o.raw.notes.recall, table([o])
        assert o.mended.trade.recall >= o.raw.trade.recall, table([o])


@pytest.mark.slow
def test_measured_together(outcomes: list[Outcome]) -> None:
    """Hard voices on purpose: half of what recognition lost of the trade's words comes back."""
    raw, mended = pooled(o.raw for o in outcomes), pooled(o.mended for o in outcomes)
    spoken, wrong = sum(o.spoken for o in outcomes), sum(o.wrong for o in outcomes)
    assert 1 - mended.trade.recall <= 0.55 * (1 - raw.trade.recall), table(outcomes)
    assert 1 - mended.notes.recall <= 0.70 * (1 - raw.notes.recall), table(outcomes)
    assert mended.wer <= 0.92 * raw.wer, table(outcomes)
    assert wrong <= spoken / 1000, table(outcomes)
