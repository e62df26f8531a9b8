"""Where a recording is looked for, and its address relative to the page."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pytest
from ashdraft.model import Recording
from ashdraft.page import playable
from hypothesis import given
from hypothesis import strategies as st


def recording(file: str, offset: float = 0.0) -> Recording:
    return Recording(file, "0" * 64, offset, 60.0)


@pytest.mark.parametrize(
    "name",
    [
        "a b.m4a",
        "50%.mp3",
        "x#1.ogg",
        "what?.wav",
        "c:d.m4a",
        "né 雪茄.opus",
        "'\"&<>.flac",
        "..m4a",
    ],
)
@pytest.mark.parametrize("place", ["", "..", "../phone"])
def test_address_leads_to_the_file(tmp_path: Path, name: str, place: str) -> None:
    """RFC 3986, 5.2: a browser resolves the address against that of the page."""
    folder = tmp_path / "stick-draft"
    file = folder / place / name
    folder.mkdir()
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(b"x")
    (found,) = playable([recording(name)], folder, [file] if "phone" in place else [])
    resolved = urlsplit(urljoin((folder / "draft.html").as_uri(), found.at(1.0, 2.0)))
    assert Path(unquote(resolved.path)) == file.resolve()
    assert resolved.fragment == "t=1.0,2.0"
    assert not resolved.query


def test_recording_found_nowhere_is_taken_to_lie_beside_the_folder(tmp_path: Path) -> None:
    (found,) = playable([recording("gone.m4a")], tmp_path)
    assert found.href == "../gone.m4a"


def test_known_file_may_have_another_name(tmp_path: Path) -> None:
    moved = tmp_path / "renamed.mp3"
    moved.write_bytes(b"x")
    (found,) = playable([recording("stick.vtt")], tmp_path, [moved])
    assert (found.href, found.name) == ("./renamed.mp3", "renamed.mp3")


def test_known_folder_holds_the_clips(tmp_path: Path) -> None:
    clips = tmp_path / "clips"
    clips.mkdir()
    for name in ("1.m4a", "2.m4a"):
        (clips / name).write_bytes(b"x")
    found = playable([recording("1.m4a"), recording("2.m4a", 60.0)], tmp_path / "out", [clips])
    assert [f.href for f in found] == ["../clips/1.m4a", "../clips/2.m4a"]


def test_transcript_has_no_sound(tmp_path: Path) -> None:
    assert playable([recording("stick.vtt"), recording("notes.json")], tmp_path) == ()


@given(st.floats(0, 1e6), st.floats(0, 1e6), st.floats(0, 1e6))
def test_span_begins_in_the_file_and_ends_after_it_began(a: float, b: float, c: float) -> None:
    """W3C Media Fragments URI 1.0, 4.2.1: a span that ends before it begins is not valid."""
    (found,) = playable([recording("x.m4a", a)], Path())
    begin, end = (float(t) for t in found.at(b, c).rpartition("=")[2].split(","))
    assert 0 <= begin < end
