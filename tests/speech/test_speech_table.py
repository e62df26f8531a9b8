"""The table of voices and surroundings: its form always, its figures in the slow run."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft_samples.voices import VOICES, missing

from tests.needs import need
from tests.speech.measure import Measured, Tally
from tests.speech.table import HEAD, Row, line, rows

SCRIPT = Path(__file__).parents[1] / "labelled" / "dev" / "d01.yaml"


def test_table_line_has_a_cell_for_every_column() -> None:
    raw = Measured(7, 100, Tally(8, 10), Tally(3, 4))
    mended = Measured(5, 100, Tally(9, 10), Tally(4, 4))
    text = line(Row("joe", "wind", 10.0, raw, mended, 30.0, 240.0))
    assert text == ("| joe | wind 10 dB | 0.070 / 0.050 | 0.800 / 0.900 | 0.750 / 1.000 | 8.0 x |")
    assert text.count("|") == HEAD.splitlines()[0].count("|")


@pytest.mark.slow
@pytest.mark.parametrize("voice", VOICES)
def test_table_repair_never_costs_words(voice: str) -> None:
    reason = missing(VOICES[voice])
    need(reason is None, f"the voice {reason}")
    quiet, babble = rows([SCRIPT], [voice], [("", None), ("babble", 10.0)])
    for row in (quiet, babble):
        assert row.repaired.wer <= row.raw.wer + 0.002, line(row)
        assert row.repaired.trade.recall >= row.raw.trade.recall, line(row)
        assert row.repaired.notes.recall >= row.raw.notes.recall, line(row)
