"""Scripts on a clock: what is said starts when the script says so."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from ashdraft_samples import performance as stage
from ashdraft_samples.performance import Line, Script, in_a_room, load_script, perform
from ashdraft_samples.sounds import rms
from ashdraft_samples.voices import RATE, Sound, Voice

ANY = Voice("beep", "beep")


@pytest.fixture(autouse=True)
def _beeps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Instead of a voice: a beep of 0.1 s for each word."""

    def beep(text: str, voice: Voice) -> Sound:
        time = np.arange(round(0.1 * len(text.split()) * RATE)) / RATE
        return (0.3 * np.sin(2 * np.pi * 300 * time)).astype(np.float32)

    monkeypatch.setattr(stage, "say", beep)


def script(*lines: Line) -> Script:
    return Script("x", "live", lines)


def test_performance_keeps_the_times_of_the_script() -> None:
    done = perform(script(Line(1.0, "one two"), Line(30.0, "three")), ANY)
    assert done.spans == (pytest.approx((1.0, 1.2)), pytest.approx((30.0, 30.1)))
    assert rms(done.sound[round(1.3 * RATE) : round(29.9 * RATE)]) == 0.0
    assert rms(done.sound[round(30.01 * RATE) : round(30.09 * RATE)]) > 0.1


def test_performance_lets_a_long_line_finish() -> None:
    done = perform(script(Line(1.0, "a b c d e f g h i j"), Line(1.5, "next")), ANY)
    assert done.spans[1][0] == pytest.approx(2.0 + stage.BREATH)


def test_performance_shortens_silence_on_request() -> None:
    done = perform(script(Line(5.0, "one"), Line(900.0, "two")), ANY, longest_gap=1.5)
    assert done.spans[1][0] == pytest.approx(done.spans[0][1] + 1.5)
    assert done.sound.size < 10 * RATE


def test_performance_a_lighter_is_heard_before_a_touch_up_and_nowhere_else() -> None:
    quiet = perform(
        script(Line(3.0, "cedar"), Line(8.0, "touched it up", ("touch-up",)), Line(12.0, "oil")),
        ANY,
    )
    lit = in_a_room(quiet, "room", 60.0)
    flame = slice(round(6.4 * RATE), round(7.8 * RATE))
    calm = slice(round(9.0 * RATE), round(11.5 * RATE))
    assert rms(lit.sound[flame]) > 20 * rms(lit.sound[calm])
    assert lit.spans == quiet.spans


def test_performance_reads_a_labelled_file(tmp_path: Path) -> None:
    file = tmp_path / "x.yaml"
    file.write_text(
        "id: x\nkind: live\nutterances:\n"
        "  - {at: 2.5, text: 'Lit.', section: burn, third: 1, descriptors: [], events: [lit]}\n",
        encoding="utf-8",
    )
    assert load_script(file) == Script("x", "live", (Line(2.5, "Lit.", ("lit",)),))
