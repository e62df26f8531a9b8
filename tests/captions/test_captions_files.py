"""Captions: WebVTT by the W3C draft (file structure, cue timings), SubRip by its conventions."""

from __future__ import annotations

import html
import io
import re
from itertools import pairwise

import pytest
import webvtt
from ashdraft.captions import cues, srt, vtt
from ashdraft.export import clock
from ashdraft.model import Said
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.captions.speech import LONG, said

texts = st.text(max_size=300) | st.lists(st.sampled_from(LONG.split()), max_size=80).map(" ".join)
LINE_CHARACTERS = 42  # Netflix, English Timed Text Style Guide: two lines of at most 42
spoken = st.lists(
    st.builds(
        lambda start, length, text: said(text, start, start + length),
        st.floats(0, 40_000),
        st.floats(0, 60),
        texts,
    ),
    max_size=8,
)


# --- times -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (0.0, "00:00:00.000"),
        (59.9996, "00:01:00.000"),  # f"{59.9996:06.3f}" would give 60.000
        (59.9994, "00:00:59.999"),
        (3599.9999, "01:00:00.000"),
        (36_000.5, "10:00:00.500"),
        (360_000.0, "100:00:00.000"),  # two or more hour digits are legal (cue timings)
        (-0.2, "00:00:00.000"),
    ],
)
def test_clock_rounds_before_it_splits(seconds: float, text: str) -> None:
    assert clock.vtt_time(clock.milliseconds(seconds)) == text
    assert clock.srt_time(clock.milliseconds(seconds)) == text.replace(".", ",")


@given(st.floats(0, 400_000))
def test_clock_fields_add_up(seconds: float) -> None:
    text = clock.vtt_time(clock.milliseconds(seconds))
    match = re.fullmatch(r"(\d\d+):([0-5]\d):([0-5]\d)\.(\d{3})", text)
    assert match
    hour, minute, second, milli = map(int, match.groups())
    assert abs(hour * 3600 + minute * 60 + second + milli / 1000 - seconds) <= 0.000501


# --- what every caption file keeps to ----------------------------------------------------


@settings(max_examples=150)
@given(spoken)
def test_cues_are_short_ordered_and_apart(utterances: list[Said]) -> None:
    made = cues(utterances)
    for cue in made:
        assert cue.end > cue.start
        assert 1 <= len(cue.lines) <= 2
        assert all(0 < len(line) <= LINE_CHARACTERS for line in cue.lines)
        assert cue.end - cue.start <= 7000  # Netflix, General Requirements: 7 s
    assert all(a.end < b.start for a, b in pairwise(made))


@settings(max_examples=150)
@given(spoken)
def test_vtt_reads_back(utterances: list[Said]) -> None:
    """webvtt-py drops what it cannot read, so the cue count tells; it leaves entities coded."""
    text = vtt(cues(utterances))
    assert text.startswith("WEBVTT\n")
    again = webvtt.from_buffer(io.StringIO(text), strict=True)
    made = cues(utterances)
    assert [html.unescape(c.raw_text) for c in again] == ["\n".join(c.lines) for c in made]
    assert [c.start for c in again] == [clock.vtt_time(c.start) for c in made]
    assert [c.end for c in again] == [clock.vtt_time(c.end) for c in made]
    payloads = [line for line in text.split("\n") if not re.match(r"\d\d+:\d\d:", line)]
    assert not any("-->" in line or "<" in line for line in payloads)
    assert not re.search(r"&(?!(amp|lt|gt);)", text)


@settings(max_examples=150)
@given(spoken)
def test_srt_blocks_are_well_formed(utterances: list[Said]) -> None:
    """Counter from 1, comma, no blank line and no arrow inside a block (references: SubRip)."""
    text = srt(cues(utterances))
    blocks = text.removesuffix("\n").split("\n\n") if text else []
    assert len(blocks) == len(cues(utterances))
    for number, block in enumerate(blocks, start=1):
        counter, times, *payload = block.split("\n")
        assert counter == str(number)
        assert re.fullmatch(r"\d\d+:\d\d:\d\d,\d{3} --> \d\d+:\d\d:\d\d,\d{3}", times)
        assert 1 <= len(payload) <= 2
        assert all(line.strip() and "-->" not in line for line in payload)


def test_srt_reads_back() -> None:
    utterances = [said(LONG, 3.0, 15.0), said("Touched it up once.", 70.25, 71.9)]
    again = list(webvtt.from_buffer(io.StringIO(srt(cues(utterances))), format="srt"))
    assert " ".join(" ".join(c.text.split()) for c in again) == f"{LONG} Touched it up once."
    assert again[-1].start == "00:01:10.250"


# --- hostile text ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        "a & b < c --> d",
        "<b>bold</b>",
        "line\n\nline",
        "nul\0byte",
        "{\\an8}top",
        "\ud800",
        "\u2028x",
    ],
)
def test_markup_is_shown_as_text(text: str) -> None:
    made = cues([said(text, 1, 4)])
    as_vtt, as_srt = vtt(made), srt(made)
    assert as_vtt.count("-->") == as_srt.count("-->") == 1
    assert not {"<", "\0", "\u2028"} & set(as_vtt + as_srt)
    assert "{\\" not in as_srt
    assert "\n\n\n" not in as_vtt
    (as_vtt + as_srt).encode("utf-8")


def test_escapes_are_those_of_the_standard() -> None:
    """WebVTT, cue text: & and < as references; > too, or it could form an arrow."""
    assert "a &amp; b &lt; c --&gt; d\n" in vtt(cues([said("a & b < c --> d", 1, 4)]))


def test_utterance_without_text_gives_no_cue() -> None:
    assert cues([said("", 1, 2), said("  \n", 3, 4)]) == ()
    assert vtt(cues([])) == "WEBVTT\n"
    assert srt(cues([])) == ""
