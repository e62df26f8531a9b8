"""Captions: WebVTT by the W3C draft (file structure, cue timings), SubRip by its conventions."""

from __future__ import annotations

import html
import io
import re
from itertools import pairwise

import pytest
import webvtt
from ashdraft.export import captions_srt, captions_vtt, clock
from ashdraft.export.captions import READABLE_MS, cues
from ashdraft.model import Said, Word
from hypothesis import given, settings
from hypothesis import strategies as st

LONG = (
    "The second third opens with tamarind and a thread of espresso, then the cedar comes back "
    "through the nose, no pepper at all by now, and the burn line has put itself right again."
)


def said(text: str, start: float, end: float, words: tuple[Word, ...] = ()) -> Said:
    return Said(0, start, end, text, text, text, words)


def timed(text: str, start: float, each: float) -> tuple[Word, ...]:
    return tuple(
        Word(f" {w}", start + i * each, start + i * each + each * 0.8)
        for i, w in enumerate(text.split())
    )


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
    ("seconds", "vtt"),
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
def test_clock_rounds_before_it_splits(seconds: float, vtt: str) -> None:
    assert clock.vtt_time(clock.milliseconds(seconds)) == vtt
    assert clock.srt_time(clock.milliseconds(seconds)) == vtt.replace(".", ",")


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
    assert all(a.end <= b.start for a, b in pairwise(made))


@settings(max_examples=150)
@given(spoken)
def test_vtt_reads_back(utterances: list[Said]) -> None:
    """webvtt-py drops what it cannot read, so the cue count tells; it leaves entities coded."""
    text = captions_vtt(utterances)
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
    text = captions_srt(utterances)
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
    again = list(webvtt.from_buffer(io.StringIO(captions_srt(utterances)), format="srt"))
    assert " ".join(" ".join(c.text.split()) for c in again) == f"{LONG} Touched it up once."
    assert again[-1].start == "00:01:10.250"


# --- words and their times ---------------------------------------------------------------


def test_long_utterance_is_cut_at_its_word_times() -> None:
    words = timed(LONG, 100.0, 0.5)
    made = cues([said(LONG, 100.0, words[-1].end, words)])
    assert len(made) > 1
    starts = {clock.milliseconds(w.start): w.text.strip() for w in words}
    for cue in made:
        assert starts[cue.start] == cue.lines[0].split()[0]
    assert " ".join(" ".join(c.lines) for c in made) == LONG


def test_word_times_survive_repair_and_tidying() -> None:
    """The recogniser heard 'wants' and a doubled 'the'; the text has neither."""
    heard = "um touched it up wants the the far side " + LONG
    words = timed(heard, 10.0, 0.4)
    text = "Touched it up once, the far side. " + LONG
    made = cues([Said(0, 10.0, words[-1].end, heard, heard, text, words)])
    times = {w.text.strip().lower().strip(".,"): w.start for w in reversed(words)}
    second = made[1].lines[0].split()[0].lower().strip(".,")
    assert made[1].start == clock.milliseconds(times[second])


def test_without_word_times_cues_share_the_utterance() -> None:
    made = cues([said(LONG, 20.0, 32.0)])
    assert (made[0].start, made[-1].end) == (20_000, 32_000)
    letters = sum(len(line) + 1 for line in made[0].lines)
    share = letters / sum(len(line) + 1 for cue in made for line in cue.lines)
    assert made[0].end == pytest.approx(20_000 + share * 12_000, abs=1)


@pytest.mark.parametrize(
    ("text", "upper"),
    [
        ("Plenty of roasted chestnut but no pepper in the nose to speak of now", "pepper"),
        ("Roasted chestnut on the long palate, and the burn line is even again", "palate,"),
    ],
)
def test_line_breaks_where_a_reader_pauses(text: str, upper: str) -> None:
    """Netflix, Timed Text guide: break after punctuation, never between 'no' and its noun."""
    (made,) = cues([said(text, 0, 6)])
    assert made.lines[0].split()[-1] == upper


def test_cue_ends_behind_a_clause() -> None:
    made = cues([said(LONG, 0, 12)])
    assert all(cue.lines[-1].endswith((",", ".")) for cue in made)


def test_short_cue_stays_up_when_nothing_follows_it() -> None:
    alone, crowded = (
        cues([said("Lit.", 5.0, 5.1)]),
        cues([said("Lit.", 5, 5.1), said("So.", 5.4, 6)]),
    )
    assert alone[0].end - alone[0].start == READABLE_MS
    assert crowded[0].end == crowded[1].start == 5400


def test_overlapping_speech_gives_cues_one_after_the_other() -> None:
    made = cues([said("One.", 5, 9), said("Two.", 5, 9), said("Three.", 6, 7)])
    assert sorted(c.lines for c in made) == [("One.",), ("Three.",), ("Two.",)]
    assert all(a.end <= b.start for a, b in pairwise(made))


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
    vtt, srt = captions_vtt([said(text, 1, 4)]), captions_srt([said(text, 1, 4)])
    assert vtt.count("-->") == srt.count("-->") == 1
    assert not {"<", "\0", "\u2028"} & set(vtt + srt)
    assert "{\\" not in srt
    assert "\n\n\n" not in vtt
    (vtt + srt).encode("utf-8")


def test_escapes_are_those_of_the_standard() -> None:
    """WebVTT, cue text: & and < as references; > too, or it could form an arrow."""
    assert "a &amp; b &lt; c --&gt; d\n" in captions_vtt([said("a & b < c --> d", 1, 4)])


def test_utterance_without_text_gives_no_cue() -> None:
    assert cues([said("", 1, 2), said("  \n", 3, 4)]) == ()
    assert captions_vtt([]) == "WEBVTT\n"
    assert captions_srt([]) == ""
