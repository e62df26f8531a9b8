"""Spans and windows: nothing lost, nothing twice, nothing too long, cut where one pauses."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from ashdraft.intake.decode import RATE
from ashdraft.transcribe.blocks import into_blocks
from ashdraft.transcribe.spans import GAP, WINDOW, Span, spans, windows
from ashdraft.transcribe.voice import FRAME
from hypothesis import given, settings
from hypothesis import strategies as st


def speech(*seconds: tuple[float, float], total: float) -> np.ndarray:
    """Probabilities with speech in the given stretches."""
    values = np.full(round(total * RATE / FRAME), 0.01, dtype=np.float32)
    for start, end in seconds:
        values[round(start * RATE / FRAME) : round(end * RATE / FRAME)] = 0.95
    return values


def seconds(span: Span) -> tuple[float, float]:
    return round(span.start / RATE, 1), round(span.end / RATE, 1)


def length(window: tuple[Span, ...]) -> float:
    return sum(len(span) for span in window) + (len(window) - 1) * GAP * RATE


def test_spans_are_padded_and_stops_within_words_bridged() -> None:
    found = spans(speech((1.0, 2.0), (2.1, 3.0), (5.0, 6.0), total=10))
    assert [seconds(span) for span in found] == [(0.8, 3.2), (4.8, 6.2)]


def test_spans_stay_within_the_recording() -> None:
    found = spans(speech((0.0, 1.0), (9.0, 10.0), total=10))
    assert found[0].start == 0
    assert found[-1].end <= 10 * RATE


def test_spans_leave_clicks_out() -> None:
    assert spans(speech((1.0, 1.06), total=3)) == []


def test_windows_hold_several_short_notes() -> None:
    notes = tuple((60.0 * n, 60.0 * n + 4) for n in range(1, 12))
    packed = windows(spans(speech(*notes, total=900)))
    assert [len(window) for window in packed] == [6, 5]


def test_windows_keep_short_pauses_inside_one_span() -> None:
    packed = windows(spans(speech((1, 4), (4.7, 8), (30, 33), total=40)))
    assert [[seconds(span) for span in window] for window in packed] == [[(0.8, 8.2), (29.8, 33.2)]]


def test_windows_end_at_the_longest_pause_near_the_end() -> None:
    talk = ((0, 10), (10.5, 23), (24.2, 27), (27.4, 40))
    packed = windows(spans(speech(*talk, total=45)))
    assert seconds(packed[0][-1])[1] == 23.2
    assert seconds(packed[1][0])[0] == 24.0


def test_windows_cut_a_speaker_who_never_pauses() -> None:
    values = speech((0, 100), total=100)
    values[round(27 * RATE / FRAME)] = 0.4  # the least likely frame near the end of a window
    found = spans(values)
    assert seconds(found[0])[1] == 27.0
    assert all(len(span) <= WINDOW for span in found)
    assert sum(len(span) for span in found) >= 99 * RATE


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.1, 50), st.floats(0.1, 70)),
        max_size=12,
    )
)
def test_windows_lose_nothing_and_repeat_nothing(turns: list[tuple[float, float]]) -> None:
    at, stretches = 0.0, []
    for pause, talk in turns:
        stretches.append((at + pause, at + pause + talk))
        at += pause + talk
    values = speech(*stretches, total=at + 5)
    found = spans(values)
    packed = windows(found)
    flat = [span for window in packed for span in window]
    assert all(length(window) <= WINDOW for window in packed)
    assert all(one.end <= two.start for one, two in pairwise(flat))
    covered = np.zeros(len(values), dtype=bool)
    for span in flat:
        covered[span.start // FRAME : span.end // FRAME] = True
    kept = np.zeros(len(values), dtype=bool)
    for span in found:
        kept[span.start // FRAME : span.end // FRAME] = True
    assert not (kept & ~covered).any()
    assert [w for block in into_blocks(packed) for w in block.windows] == packed


def test_blocks_are_shared_out_evenly_when_there_are_few_windows() -> None:
    window = (Span(0, 0, RATE),)
    assert [len(b.windows) for b in into_blocks([window] * 2)] == [1, 1]
    assert [len(b.windows) for b in into_blocks([window] * 7)] == [2, 2, 2, 1]
    assert [len(b.windows) for b in into_blocks([window] * 40)] == [2] * 20
    assert into_blocks([]) == []
