"""`.ashdraft/said.json`: what is written comes back, and nothing unreadable stops a command."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from ashdraft import session
from ashdraft.export import read_folder, read_words, said_json, with_words
from ashdraft.export.words import FILE
from ashdraft.model import Said, Utterance, Word
from ashdraft.options import Options
from ashdraft.output import WORK
from hypothesis import given
from hypothesis import strategies as st

# Whole milliseconds: what the file keeps.
seconds = st.integers(0, 40_000_000).map(lambda ms: ms / 1000)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
words = st.builds(
    lambda text, start, length: Word(text, start, round(start + length, 3), 0.5),
    texts,
    seconds,
    st.integers(0, 3000).map(lambda ms: ms / 1000),
)
spoken = st.lists(
    st.builds(Said, st.integers(0, 9), seconds, seconds, texts, texts, texts,
              st.lists(words, max_size=4).map(tuple)),
    max_size=5, unique_by=lambda s: s.id,
)  # fmt: skip


def keep(folder: Path, text: str) -> None:
    (folder / WORK).mkdir(exist_ok=True)
    (folder / WORK / FILE).write_text(text, "utf-8")


@given(spoken)
def test_what_was_written_comes_back(tmp_path_factory: pytest.TempPathFactory, said: list[Said]):
    folder = tmp_path_factory.mktemp("said")
    keep(folder, said_json(said))
    assert list(read_words(folder).values()) == said


WORD = ["note", 1.0, 1.4, 0.9]
ROW = {"id": 3, "start": 1.0, "end": 2.0, "heard": "a", "said": "b", "text": "c", "words": [WORD]}


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ({"utterances": [ROW]}, None),  # of another program
        ({"format": "ashdraft-said", "version": 1, "utterances": 5}, None),
        ({"format": "ashdraft-said", "version": 9, "new": 1, "utterances": [ROW]}, 1),
        ({"format": "ashdraft-said", "utterances": [{**ROW, "new": {}}, {"id": 4}, 7]}, 1),
        ({"format": "ashdraft-said", "utterances": [{**ROW, "words": [WORD, ["x"], 3]}]}, 1),
        ({"format": "ashdraft-said", "utterances": [{**ROW, "words": [["x", 2, 1, 1]]}]}, 0),
        ({"format": "ashdraft-said", "utterances": [{**ROW, "words": [[*WORD, "more"]]}]}, 1),
        ([], None),
    ],
)
def test_reader_takes_what_it_knows(tmp_path: Path, document: object, words: int | None) -> None:
    keep(tmp_path, json.dumps(document))
    found = read_words(tmp_path)
    assert {i: len(said.words) for i, said in found.items()} == (
        {} if words is None else {3: words}
    )


def test_missing_or_broken_file_gives_no_words(tmp_path: Path) -> None:
    assert read_words(tmp_path) == {}
    keep(tmp_path, "{")
    assert read_words(tmp_path) == {}
    (tmp_path / WORK / FILE).write_bytes(b"\xff\xfe")
    assert read_words(tmp_path) == {}


def test_words_of_other_notes_are_not_used() -> None:
    here = Utterance(3, 1.0, 2.0, "a", "b", "c", "palate", 1, None, 1.0)
    word = Word("a", 1.0, 1.4)
    for said, expected in [
        (Said(3, 1.0, 2.0, "a", "b", "c", (word,)), (word,)),
        (Said(3, 9.0, 9.5, "a", "b", "c", (word,)), ()),
        (Said(3, 1.0, 2.0, "other", "b", "c", (word,)), ()),
        (Said(4, 1.0, 2.0, "a", "b", "c", (word,)), ()),
    ]:
        (again,) = with_words([here], {said.id: said})
        assert (again.id, again.text, again.words) == (3, "c", expected)


def test_write_keeps_the_utterances(tmp_path: Path) -> None:
    source = tmp_path / "stick.vtt"
    source.write_text(
        "WEBVTT\n\n00:01.000 --> 00:04.000\nThe wrapper smells of cedar and a little hay.\n\n"
        "00:05.000 --> 00:08.000\nThe first third opens with white pepper.\n"
    )
    result = session.write(Options(inputs=(source,), out=tmp_path / "out"))
    assert len(read_words(result.folder)) == 2
    for path in (result.folder, result.draft, result.folder / "notes.json"):
        folder = read_folder(path)
        assert folder.path == result.folder
        assert [s.text for s in folder.said] == [u.text for u in result.notes.reading.utterances]
