"""Every chapter file as other programs read it."""

from __future__ import annotations

import html
import io
import json
import re
from itertools import pairwise
from pathlib import Path

import jsonschema
import pytest
import webvtt as webvtt_py
from ashdraft.chapters import Listing, ffmetadata, labels, matroska, podcast, webvtt
from ashdraft.chapters.entry import clean
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.chapters.made import LISTINGS, Found, expected, ffprobe_chapters, listing, run, tool
from tests.needs import need
from tests.strict_vtt import read

DTD = Path("/usr/share/doc/mkvtoolnix/examples/matroskachapters.dtd")
each = pytest.mark.parametrize("made", LISTINGS.values(), ids=LISTINGS)
titles = st.text(st.characters(exclude_categories=["Cs"]), max_size=40).map(clean)
listings = st.builds(
    lambda starts, names, more: listing(
        *zip(sorted(starts), names, strict=False), length=max(starts, default=0) + more
    ),
    st.sets(st.integers(0, 4 * 10**7), max_size=8),
    st.lists(titles, min_size=8, max_size=8),
    st.integers(1, 10**7),
)


@settings(max_examples=50, deadline=None)
@given(listings)
def test_webvtt_comes_back_through_webvtt_py(made: Listing) -> None:
    """webvtt-py 0.6 gives character references undecoded (seen)."""
    found = webvtt_py.from_buffer(io.StringIO(webvtt(made)))
    times = [re.findall(r"(\d+):(\d\d):(\d\d)\.(\d{3})", f"{c.start} {c.end}") for c in found]
    assert [
        Found(*(_ms(t) for t in pair), html.unescape(c.text))
        for pair, c in zip(times, found, strict=True)
    ] == expected(made)


def _ms(fields: tuple[str, ...]) -> int:
    hour, minute, second, milli = map(int, fields)
    return ((hour * 60 + minute) * 60 + second) * 1000 + milli


@each
def test_webvtt_by_the_strict_reader(made: Listing) -> None:
    """npm webvtt-parser in its mode for chapters, which also refuses tags."""
    found = read(webvtt(made), "chapters")
    assert found["errors"] == []
    assert [(round(c[1] * 1000), round(c[2] * 1000)) for c in found["cues"]] == [  # type: ignore[operator]
        (s.start, s.end) for s in made.spans()
    ]


def test_strict_reader_refuses_a_tag() -> None:
    assert read("WEBVTT\n\n00:00.000 --> 00:01.000\n<b>A</b>\n", "chapters")["errors"]


@each
def test_webvtt_has_no_overlap_and_no_identifier(made: Listing) -> None:
    """W3C WebVTT, chapter cues; neither reader looks for these two (tried)."""
    assert all(a.end <= b.start for a, b in pairwise(made.spans()))
    assert all(" --> " in block.splitlines()[0] for block in webvtt(made).split("\n\n")[1:])


@each
def test_ffprobe_reads_ffmetadata(made: Listing, tmp_path: Path) -> None:
    path = tmp_path / "chapters.ffmetadata"
    path.write_text(ffmetadata(made), "utf-8")
    assert ffprobe_chapters(path) == expected(made)


def test_ffmetadata_escapes_as_documented() -> None:
    """A pair tried with FFmpeg 5.1.9, and a line end (metadata.texi), which a title never holds.

    FFmpeg 5.1.9 takes an escaped backslash before a line end for an escaped line end, so a
    blank is put between them (seen with ffprobe; the test above holds such a title).
    """
    made = ffmetadata(listing((0, "a = b ; c #1 \\ d"), (9, "x\ny"), (12, "end\\"), length=20))
    assert "title=a \\= b \\; c \\#1 \\\\ d\n" in made
    assert "title=x\\\ny\n" in made
    assert "title=end\\\\ \n" in made
    assert made.count("TIMEBASE=1/1000\nSTART=") == 3


PODCAST = {
    "type": "object",
    "required": ["version", "chapters"],
    "properties": {
        "version": {"const": "1.2.0"},
        "chapters": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["startTime"],
                "additionalProperties": False,
                "properties": {
                    "startTime": {"type": "number", "minimum": 0},
                    "endTime": {"type": "number", "exclusiveMinimum": 0},
                    "title": {"type": "string"},
                },
            },
        },
    },
}
"""Written from podcast-namespace, JSON Chapters Format 1.2: it publishes no schema."""


@settings(max_examples=50, deadline=None)
@given(listings)
def test_podcast_chapters_keep_the_schema_and_come_back(made: Listing) -> None:
    document = json.loads(podcast(made))
    jsonschema.validate(document, PODCAST)
    found = [
        Found(round(c["startTime"] * 1000), round(c["endTime"] * 1000), c["title"])
        for c in document["chapters"]
    ]
    assert found == expected(made)
    assert found == sorted(found, key=lambda c: c.start)


@each
def test_xmllint_finds_matroska_chapters_valid(made: Listing, tmp_path: Path) -> None:
    """The DTD is in the documentation of mkvtoolnix."""
    need(DTD.exists(), f"{DTD} is missing (Debian package mkvtoolnix)")
    path = tmp_path / "chapters.xml"
    path.write_text(matroska(made), "utf-8")
    run(tool("xmllint", "libxml2-utils"), "--noout", "--dtdvalid", DTD, path)


@pytest.mark.parametrize("name", [n for n in LISTINGS if n != "none"])
def test_mkvmerge_takes_matroska_chapters(name: str, tmp_path: Path) -> None:
    made = LISTINGS[name]
    source, whole = tmp_path / "chapters.xml", tmp_path / "whole.mkv"
    source.write_text(matroska(made), "utf-8")
    run(tool("mkvmerge", "mkvtoolnix"), "--quiet", "-o", whole, "--chapters", source)
    simple = run(tool("mkvextract", "mkvtoolnix"), whole, "chapters", "--simple")
    starts = [_ms(f) for f in re.findall(r"^CHAPTER\d+=(\d+):(\d\d):(\d\d)\.(\d{3})", simple, re.M)]
    names = re.findall(r"^CHAPTER\d+NAME=(.*)$", simple, re.M)
    assert list(zip(starts, names, strict=True)) == [(s.start, s.title) for s in made.spans()]


@settings(max_examples=50, deadline=None)
@given(listings)
def test_labels_come_back(made: Listing) -> None:
    """Start, end and text between tabs, in seconds: common practice, no source."""
    rows = [line.split("\t") for line in labels(made).split("\n")[:-1]]
    found = [Found(round(float(a) * 1000), round(float(b) * 1000), t) for a, b, t in rows]
    assert found == expected(made)
