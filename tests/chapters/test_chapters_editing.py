"""Timecodes, the edit list and the timeline, against OpenTimelineIO 0.18 and its adapter."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import opentimelineio as otio_library
import pytest
from ashdraft.chapters import RATES, Listing, Rate, edl, otio
from ashdraft.errors import UsageError
from hypothesis import given, settings
from hypothesis import strategies as st
from opentimelineio import opentime

from tests.chapters.made import LISTINGS, listing

DROP = RATES["29.97df"]
SHORT = {n: m for n, m in LISTINGS.items() if m.length < 24 * 3600 * 1000}
rates = pytest.mark.parametrize("rate", RATES.values(), ids=RATES)
TEN_HOURS = listing((0, "A"), (36_000_001, "After ten hours"), length=40_000_000)


@pytest.mark.parametrize(
    ("frame", "timecode"),
    [
        (1799, "00:00:59;29"),
        (1800, "00:01:00;02"),
        (17981, "00:09:59;29"),
        (17982, "00:10:00;00"),
        (107892, "01:00:00;00"),
    ],
)
def test_drop_frame_values(frame: int, timecode: str) -> None:
    """Values as OpenTimelineIO 0.18 gives them (SMPTE 12M, 30000/1001 frames per second)."""
    assert DROP.timecode(frame) == timecode


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 24 * 3600 * 24 - 1), st.sampled_from(list(RATES.values())))
def test_timecodes_are_those_of_opentime(frame: int, rate: Rate) -> None:
    time = opentime.RationalTime(frame, float(rate.exact))
    assert rate.timecode(frame) == opentime.to_timecode(time, float(rate.exact), rate.drop)


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 10**8), st.sampled_from(list(RATES.values())))
def test_frame_is_the_one_shown(ms: int, rate: Rate) -> None:
    frame = rate.frame(ms)
    assert Fraction(frame) / rate.exact <= Fraction(ms, 1000) < Fraction(frame + 1) / rate.exact


@rates
@pytest.mark.parametrize("name", SHORT)
def test_opentimelineio_reads_the_timeline(name: str, rate: Rate) -> None:
    made = SHORT[name]
    text = otio(made, rate, "talk with cigar.mp4", "../talk with cigar.mp4")
    timeline = otio_library.adapters.read_from_string(text, "otio_json")
    (clip,) = timeline.find_clips()
    assert timeline.name == clip.name == "talk with cigar.mp4"
    assert clip.media_reference.target_url == "../talk%20with%20cigar.mp4"
    assert clip.duration() == opentime.RationalTime(rate.frame(made.length), float(rate.exact))
    assert [(m.name, m.marked_range.start_time.value) for m in clip.markers] == [
        (s.title, rate.frame(s.start)) for s in made.spans()
    ]
    again = otio_library.adapters.write_to_string(timeline, "otio_json")
    assert otio_library.adapters.read_from_string(again, "otio_json").is_equivalent_to(timeline)


def test_timeline_without_a_file_says_so() -> None:
    timeline = otio_library.adapters.read_from_string(
        otio(LISTINGS["one"], RATES["25"], "draft"), "otio_json"
    )
    (clip,) = timeline.find_clips()
    assert clip.media_reference.is_missing_reference


@rates
@pytest.mark.parametrize("made", [*SHORT.values(), TEN_HOURS])
def test_adapter_reads_the_edit_list(made: Listing, rate: Rate, tmp_path: Path) -> None:
    """otio-cmx3600-adapter 1.0.0; it looks for locators with colons only, so those that drop
    frames are read below. It keeps the case of names it reads."""
    path = tmp_path / "chapters.edl"
    path.write_text(edl(made, rate, "talk.mp4"), "utf-8")
    timeline = otio_library.adapters.read_from_file(path, rate=float(rate.exact))
    (clip,) = timeline.find_clips()
    assert clip.name == timeline.name == "talk.mp4"
    assert clip.duration().value == rate.frame(made.length)
    if not rate.drop:
        assert [(m.name, m.marked_range.start_time.value) for m in clip.markers] == [
            (s.title, rate.frame(s.start)) for s in made.spans()
        ]


@pytest.mark.parametrize("made", [*SHORT.values(), TEN_HOURS])
def test_locators_that_drop_frames(made: Listing) -> None:
    """Their timecodes by opentime, which knows the semicolon."""
    text = edl(made, DROP, "talk.mp4")
    assert "FCM: DROP FRAME\n" in text
    found = re.findall(r"^\* LOC: (\d\d:\d\d:\d\d;\d\d) BLUE    (.*)$", text, re.M)
    assert [(opentime.from_timecode(t, float(DROP.exact)).value, n) for t, n in found] == [
        (DROP.frame(s.start), s.title) for s in made.spans()
    ]
    assert all(a < b for (a, _), (b, _) in pairwise(found))


def test_edit_list_of_a_day_is_refused() -> None:
    with pytest.raises(UsageError, match="24 hours"):
        edl(LISTINGS["long"], DROP, "talk.mp4")
