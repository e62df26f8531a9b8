"""Hostile words: whatever a transcript says is text in every file and message made from it."""

from __future__ import annotations

import html.parser
import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import webvtt
import yaml
from ashdraft.cli.summary import summary
from ashdraft.errors import AshdraftError
from ashdraft.export import read_notes
from ashdraft.export.folder import read_folder
from ashdraft.intake import open_session
from ashdraft.model import Heard
from ashdraft.options import Options
from ashdraft.progress import Lines
from ashdraft.session import Result, write
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

HOSTILE = (
    "# Not a heading",
    "---\ntitle: stolen\n---",
    "- {item: [1, 2}, & *anchor !!python/object/apply:os.system ['x']",
    "<script>alert(1)</script><img src=x onerror=alert(1)><!-- -->",
    "</textarea><svg/onload=alert(1)>&lt;b&gt;",
    "[click](javascript:alert(1)) ![x](http://192.0.2.1/x.png) <http://192.0.2.1>",
    "`code` ``` ~~~ **bold** __x__ | a | b | $x^2$ {{ site.x }} {% raw %}",
    "\x1b[31mred\x1b]0;title\x07 \x9b2J \x00 null \x08\x7f",
    "\u202ereversed\u202c \u2066isolate\u2069 \u200f right to left עברית عربي",
    "../../etc/passwd C:\\Windows\\system32 /dev/null ~root $HOME",
    "00:00:01.000 --> 00:00:09.000 align:start",
    "WEBVTT\n\nNOTE hidden\n\nSTYLE\n::cue {}",
    "<v Mallory><c.red>x</c></v> <00:01.000> &amp; &nbsp;",
    "=SUM(A1) +1 @cmd |' /C calc'!A0",
    "a\u2028line\u2029paragraph\x0bvt\x0cff\x85nel",
    "\ufeff\ufffe\uffff \U0010ffff \ud7ff",
    "x" * 5000,
    "no " * 300 + "pepper",
)
UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
OWN = "cedar and white pepper through the nose"


class Page(html.parser.HTMLParser):
    """Tags of a page that could act, and text outside of scripts and styles."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.handlers: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        self.links += [value or "" for name, value in attrs if name in ("href", "src")]


def transcript(path: Path, texts: tuple[str, ...]) -> Path:
    lines = ("Lit.", f"First third, {OWN}.", *texts, "I would buy it again.")
    said = [{"start": 30.0 * n, "end": 30.0 * n + 9, "text": text} for n, text in enumerate(lines)]
    document = {"format": "ashdraft-transcript", "version": 1, "utterances": said}
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def tags_of(folder: Path) -> list[str]:
    page = Page()
    page.feed((folder / "draft.html").read_text("utf-8"))
    assert page.handlers == []
    assert not [link for link in page.links if re.match(r"(?i)\s*(javascript|data|http)", link)]
    return page.tags


def check(result: Result, facts: Mapping[str, Any]) -> None:
    """What holds of every finished folder, whatever was said."""
    for file in result.files:
        if file.path.suffix == ".json" and facts:  # what the user typed is kept as it is
            continue
        text = file.path.read_text("utf-8")
        assert not UNSEEN.search(text), (file.path.name, UNSEEN.search(text))
    draft = result.draft.read_text("utf-8")
    front = yaml.safe_load(draft.split("---\n")[1])
    assert front["title"] == facts.get("name", result.notes.recordings[0].file.split(".")[0])
    assert "draft" in front
    captions = webvtt.read(str(result.folder / "captions.vtt"))
    assert all("-->" not in caption.raw_text for caption in captions)
    read_notes((result.folder / "notes.json").read_text("utf-8"))
    tags_of(result.folder)
    told = summary(result)
    assert all(line.isprintable() for line in told.split("\n"))


def test_hostile_words_are_text_in_every_file(tmp_path: Path) -> None:
    plain = write(Options((transcript(tmp_path / "plain.json", ("A word.",)),)))
    tags = set(tags_of(plain.folder))
    scripts = tags_of(plain.folder).count("script")
    result = write(Options((transcript(tmp_path / "hostile.json", HOSTILE),)))
    check(result, {})
    found = tags_of(result.folder)
    assert found.count("script") == scripts
    assert not set(found) - tags - {"ul", "ol", "li", "details", "summary", "em"}
    heads = [line for line in result.draft.read_text("utf-8").split("\n") if line.startswith("#")]
    assert "# Not a heading" not in heads


def test_hostile_facts_are_text(tmp_path: Path) -> None:
    source = transcript(tmp_path / "a.json", ("A word.",))
    for number, hostile in enumerate(HOSTILE[:10]):
        name = " ".join(hostile.split())[:60]
        facts = {"name": name, "cut": name, "note": hostile[:60]}
        result = write(Options((source,), out=tmp_path / f"out{number}", facts=facts))
        check(result, {"name": " ".join(UNSEEN.sub(" ", name).split())})


def test_messages_about_hostile_input_show_it_as_text(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import sys

    write(Options((transcript(tmp_path / "a.json", HOSTILE),)), Lines(sys.stderr))
    told = capsys.readouterr()
    assert told.out == ""
    assert not UNSEEN.search(told.err)
    assert OWN not in told.err


ANY = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=20),
    st.lists(st.integers(), max_size=3),
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.fixed_dictionaries(
            {},
            optional={
                "start": st.one_of(st.floats(0, 1e5), ANY),
                "end": st.one_of(st.floats(0, 1e5), ANY),
                "text": st.one_of(st.text(max_size=40), ANY),
                "words": st.one_of(st.lists(st.dictionaries(st.text(max_size=5), ANY, max_size=4),
                                            max_size=3), ANY),
            },
        ),
        max_size=5,
    ),
    st.dictionaries(st.sampled_from(["language", "recordings", "made_by", "x"]), ANY, max_size=3),
    st.sampled_from(["ashdraft-transcript", "ashdraft-notes"]),
)  # fmt: skip
def test_json_of_any_shape_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory,
    entries: list[dict[str, Any]],
    more: dict[str, Any],
    kind: str,
) -> None:
    path = tmp_path_factory.getbasetemp() / "fuzzed.json"
    document = {"format": kind, "version": 1, "utterances": entries, **more}
    path.write_text(json.dumps(document), encoding="utf-8", errors="surrogatepass")
    _read_or_refused(path)


PIECES = (
    "WEBVTT", "\n", "\n\n", "1", "00:01.000", "00:00:02,500", " --> ", "-->", "NOTE", "STYLE",
    "<v A>", "</c>", "&lt;", "99:99:99.999", "-", "text", "\ufeff", "\x00", "align:start", "\r",
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=25), st.sampled_from(["a.vtt", "a.srt"]))
def test_subtitles_of_any_pieces_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, pieces: list[str], name: str
) -> None:
    path = tmp_path_factory.getbasetemp() / f"pieces-{name}"
    path.write_bytes("".join(pieces).encode())
    _read_or_refused(path)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200), st.sampled_from([".vtt", ".srt", ".json"]), st.booleans())
def test_bytes_of_any_kind_are_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, data: bytes, suffix: str, headed: bool
) -> None:
    path = tmp_path_factory.getbasetemp() / f"bytes{suffix}"
    head = {".vtt": b"WEBVTT\n\n", ".srt": b"1\n", ".json": b'{"format":"ashdraft-notes",'}
    path.write_bytes((head[suffix] if headed else b"") + data)
    _read_or_refused(path)


def _read_or_refused(path: Path) -> None:
    said: tuple[Heard, ...] = ()
    told = ""
    try:
        session = open_session([path])
        assert session.transcript is not None
        said = session.transcript.utterances
    except AshdraftError as error:
        told = str(error)
    assert not UNSEEN.search(told)
    assert bool(told) is not bool(said)
    for one in said:
        assert 0 <= one.start <= one.end
        assert not UNSEEN.search(one.text)


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.text(min_size=1, max_size=80), min_size=1, max_size=6))
def test_any_words_become_files_that_read_back(
    tmp_path_factory: pytest.TempPathFactory, texts: list[str]
) -> None:
    folder = tmp_path_factory.mktemp("any")
    result = write(Options((transcript(folder / "a.json", tuple(texts)),)))
    check(result, {})
    assert read_folder(result.folder).notes.reading.utterances == result.notes.reading.utterances
