"""WebVTT and SubRip as people have them. Rules: W3C WebVTT; SubRip by convention."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest
from ashdraft.errors import NoSpeech, NotMedia, TranscriptDamaged
from ashdraft.intake import open_session
from ashdraft.intake.text import clean
from ashdraft.model import Heard
from hypothesis import given
from hypothesis import strategies as st

VTT = """WEBVTT - stick 2

NOTE nothing to read here
--

STYLE
::cue { color: red }

one
00:01.000 --> 00:02.500 align:start position:10%
<v Ann>Touched it up <b>once</b>.</v>

01:00:03.250 --> 01:00:04.000
Cedar &amp; pepper,
&lt;3 of it

00:00.000 --> 00:09.999
<00:00:01.000>overlapping and <c.loud>early</c>
"""
SRT = """1
00:00:01,000 --> 00:00:02,500
<i>Touched it up</i> once.

2
01:00:03,250 --> 01:00:04,000
{\\an8}Cedar & pepper,
five < six

00:00:00,000 --> 00:00:09,999
no counter, early
"""


def read(tmp_path: Path, name: str, text: str | bytes) -> tuple[Heard, ...]:
    path = tmp_path / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    transcript = open_session([path]).transcript
    assert transcript is not None
    return transcript.utterances


def said(utterances: tuple[Heard, ...]) -> list[tuple[float, float, str]]:
    return [(u.start, u.end, u.text) for u in utterances]


def test_cues_vtt_is_read_whole_and_in_time_order(tmp_path: Path) -> None:
    assert said(read(tmp_path, "a.vtt", VTT)) == [
        (0.0, 9.999, "overlapping and early"),
        (1.0, 2.5, "Touched it up once."),
        (3603.25, 3604.0, "Cedar & pepper, <3 of it"),
    ]


def test_cues_srt_is_read_whole_and_in_time_order(tmp_path: Path) -> None:
    assert said(read(tmp_path, "a.srt", SRT)) == [
        (0.0, 9.999, "no counter, early"),
        (1.0, 2.5, "Touched it up once."),
        (3603.25, 3604.0, "Cedar & pepper, five < six"),
    ]


@pytest.mark.parametrize("name", ["a.vtt", "a.srt"])
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8])
def test_cues_byte_order_mark_and_line_ends_change_nothing(
    name: str, ends: str, mark: bytes, tmp_path: Path
) -> None:
    text = VTT if name == "a.vtt" else SRT
    plain = read(tmp_path, name, text)
    assert read(tmp_path, name, mark + text.replace("\n", ends).encode()) == plain


def test_cues_utf16_with_its_mark_is_read(tmp_path: Path) -> None:
    assert read(tmp_path, "a.srt", SRT.encode("utf-16")) == read(tmp_path, "a.srt", SRT)


def test_cues_blank_line_missing_between_cues(tmp_path: Path) -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\none\n2\n00:00:03,000 --> 00:00:04,000\ntwo\n"
    assert [u.text for u in read(tmp_path, "a.srt", text)] == ["one", "two"]


def test_cues_wrong_decimal_sign_is_accepted(tmp_path: Path) -> None:
    assert len(read(tmp_path, "a.vtt", "WEBVTT\n\n00:00:01,000 --> 00:00:02,000\none\n")) == 1
    assert len(read(tmp_path, "a.srt", "00:00:01.5 --> 00:00:02.000\none\n")) == 1


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        ("a.vtt", "00:01.000 --> 00:02.000\none\n", 1),  # no header
        ("a.vtt", "WEBVTTX\n\n00:01.000 --> 00:02.000\none\n", 1),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\none\n\n00:61.000 --> 01:05.000\ntwo\n", 6),
        ("a.vtt", "WEBVTT\n\n60:00.000 --> 61:00.000\none\n", 3),  # minute 60
        ("a.vtt", "WEBVTT\n\n00:02.000 --> 00:01.000\none\n", 3),  # ends before it starts
        ("a.vtt", "WEBVTT\n\n00:01.000 -->\none\n", 3),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\none\n\nstray words\nmore\n", 6),
        ("a.srt", "1\n00:00:01,000 --> soon\none\n", 2),
        ("a.srt", "one\ntwo\n", 1),
        ("a.srt", b"1\n00:00:01,000 --> 00:00:02,000\ncaf\xe9\n", 3),  # Latin-1
    ],
)
def test_cues_damage_is_reported_with_its_line(
    name: str, text: str | bytes, line: int, tmp_path: Path
) -> None:
    with pytest.raises(TranscriptDamaged, match=rf"{name}, line {line}: ") as caught:
        read(tmp_path, name, text)
    assert caught.value.exit_code == 10


def test_cues_without_words_or_bytes(tmp_path: Path) -> None:
    with pytest.raises(NoSpeech):
        read(tmp_path, "a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\n<i></i>\n")
    with pytest.raises(NoSpeech):
        read(tmp_path, "a.vtt", "WEBVTT\n")
    with pytest.raises(NotMedia):
        read(tmp_path, "a.vtt", "")


def test_cues_rolling_captions_say_each_line_once(tmp_path: Path) -> None:
    lines = [f"line number {n}" for n in range(8)]
    cues = "".join(
        f"00:{n:02}.000 --> 00:{n + 1:02}.990\n{lines[n - 1]}\n{lines[n]}\n\n" for n in range(1, 8)
    )
    path = tmp_path / "auto.vtt"
    path.write_text(f"WEBVTT\n\n00:00.000 --> 00:01.990\n{lines[0]}\n\n{cues}")
    transcript = open_session([path]).transcript
    assert transcript is not None
    assert [u.text for u in transcript.utterances] == lines
    assert "rolling captions" in transcript.notices[0]


def test_cues_a_sentence_said_twice_stays_twice(tmp_path: Path) -> None:
    text = (
        "WEBVTT\n\n00:01.000 --> 00:02.000\nTouched up.\n\n00:03.000 --> 00:04.000\nTouched up.\n"
    )
    assert [u.text for u in read(tmp_path, "a.vtt", text)] == ["Touched up.", "Touched up."]


def test_cues_control_characters_cannot_reach_a_terminal(tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\nred \x1b[31m\x00 and \x9b2J ink\n"
    assert read(tmp_path, "a.vtt", text)[0].text == "red �[31m� and �2J ink"


@given(st.text(max_size=300))
def test_cues_clean_gives_one_printable_line(text: str) -> None:
    line = clean(text)
    assert not any(ord(c) < 32 or 127 <= ord(c) < 160 for c in line)
    assert line == " ".join(line.split())


@given(st.text(alphabet="WEBVT \n\r-->0123456789:.,<>&;/abN{}\\", max_size=200), st.booleans())
def test_cues_any_text_is_read_or_refused(text: str, has_header: bool) -> None:
    from ashdraft.intake.cues import heard, read_srt, read_vtt, unroll
    from ashdraft.intake.text import Fault

    for reader in (read_vtt, read_srt):
        try:
            found = heard(unroll(reader(f"WEBVTT\n\n{text}" if has_header else text))[0])
        except Fault:
            continue
        assert list(found) == sorted(found, key=lambda u: u.start)
        assert all(u.end >= u.start >= 0 and u.text for u in found)
