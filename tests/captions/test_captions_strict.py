"""WebVTT by the strict reader of the W3C's own test tools (npm webvtt-parser 2.2.0).

It does not look for cue identifiers that occur twice or cues that overlap (references 1.1), so
both are checked here as well.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from ashdraft.captions import Cue, cues, vtt

from tests.captions.speech import LONG, said, timed
from tests.strict_vtt import read

HOSTILE = "a & b < c --> d \u05e9\u05dc\u05d5\u05dd \N{LEAF FLUTTERING IN WIND} <b>NOTE</b> &amp;"


@pytest.mark.parametrize(
    "made",
    [
        (),
        cues([said(LONG, 0, 12), said(HOSTILE, 12.2, 20), said("WEBVTT", 59.9996, 61)]),
        cues([said(LONG, 1, 9), said(LONG, 3, 9), said("Over ten hours.", 36_100, 36_102)]),
        cues([said(LONG, t, t + 15, timed(LONG, t, 0.4)) for t in range(0, 4500, 15)]),
    ],
    ids=["none", "hostile", "overlapping", "many"],
)
def test_strict_reader_finds_no_fault(made: tuple[Cue, ...]) -> None:
    text = vtt(made)
    result = read(text)
    assert result["errors"] == []
    seconds = [s for cue in result["cues"] for s in cue[1:3]]
    assert seconds == pytest.approx([ms / 1000 for c in made for ms in (c.start, c.end)])
    assert {c[0] for c in result["cues"]} <= {""}
    blocks = text.split("\n\n")[1:]
    assert all(re.match(r"\d\d+:\d\d:", block) for block in blocks)  # no identifier line at all
    assert all(a.end <= b.start for a, b in pairwise(made))


def test_strict_reader_does_find_faults() -> None:
    assert read("WEBVTT\n\n00:02.000 --> 00:01.000\na & b\n")["errors"]
