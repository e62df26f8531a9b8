"""Our own JSON as input: transcripts that other programs write, and notes.json of earlier runs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from ashdraft.errors import TranscriptDamaged
from ashdraft.intake import open_session
from ashdraft.model import Transcript, Word

SUM = "ab" * 32


def opened(tmp_path: Path, data: Any, name: str = "a.json") -> Transcript:
    path = tmp_path / name
    path.write_text(data if isinstance(data, str) else json.dumps(data, indent=1))
    transcript = open_session([path]).transcript
    assert transcript is not None
    return transcript


def transcript(*utterances: Any, **more: Any) -> dict[str, Any]:
    return {"format": "ashdraft-transcript", "version": 1, "utterances": list(utterances), **more}


def test_transcripts_json_with_words_is_read(tmp_path: Path) -> None:
    words = [
        {"text": "Black", "start": 1.0, "end": 1.4, "probability": 0.5},
        {"text": "pepper.", "start": 1.4, "end": 2.0},
    ]
    heard = opened(
        tmp_path,
        transcript(
            {"start": 3, "end": 4.5, "text": "  Second\none. "},
            {"start": 1, "end": 2, "text": "Black pepper.", "words": words},
            {"start": 8, "end": 9, "text": "  "},
            language="en",
        ),
    )
    assert [(u.start, u.text) for u in heard.utterances] == [
        (1, "Black pepper."),
        (3, "Second one."),
    ]
    assert heard.utterances[0].words == (
        Word("Black", 1.0, 1.4, 0.5),
        Word("pepper.", 1.4, 2.0, 1.0),
    )
    assert heard.recordings[0].file == "a.json"
    assert heard.recordings[0].duration == 4.5
    assert heard.language == "en"


def test_transcripts_notes_keep_recordings_and_what_was_heard(tmp_path: Path) -> None:
    notes = {
        "format": "ashdraft-notes",
        "version": 1,
        "made_by": {"ashdraft": "0.1.0", "speech_model": "base"},
        "recordings": [
            {"file": "b.m4a", "sha256": SUM, "offset": 700.0, "duration": 50.0,
             "recorded_at": None},
            {"file": "a.m4a", "sha256": SUM, "offset": 0.0, "duration": 600.0,
             "recorded_at": "2026-05-02T20:14:00+02:00"},
        ],
        "utterances": [
            {"id": 0, "start": 1.0, "end": 2.0, "heard": "touched it up wants",
             "said": "touched it up once", "text": "Touched it up once."}
        ],
    }  # fmt: skip
    heard = opened(tmp_path, notes)
    assert heard.utterances[0].text == "touched it up wants"
    assert {r.file: r.offset for r in heard.recordings} == {"a.m4a": 0.0, "b.m4a": 700.0}
    assert heard.speech_model == "base"


def test_transcripts_notes_of_two_sittings_are_placed_by_their_times(tmp_path: Path) -> None:
    for name, moment in (("late", "20:30:00"), ("early", "20:00:00")):
        notes = {
            "format": "ashdraft-notes", "version": 1,
            "recordings": [{"file": f"{name}.m4a", "sha256": SUM, "offset": 0, "duration": 60,
                            "recorded_at": f"2026-05-02T{moment}+02:00"}],
            "utterances": [{"start": 5, "end": 6, "heard": name,
                            "words": [{"text": name, "start": 5, "end": 6}]}],
        }  # fmt: skip
        (tmp_path / f"{name}.json").write_text(json.dumps(notes))
    session = open_session([tmp_path / "late.json", tmp_path / "early.json"])
    assert session.transcript is not None
    assert [(u.text, u.start, u.words[0].end) for u in session.transcript.utterances] == [
        ("early", 5, 6), ("late", 1805, 1806),
    ]  # fmt: skip


ENTRY = {"start": 1, "end": 2, "text": "x"}


@pytest.mark.parametrize(
    ("data", "what"),
    [
        ("{", "line 1: this is not JSON"),
        ('{\n "format": \n}', "line 3: this is not JSON"),
        ("[" * 100_000, "nested too deeply"),
        ("[]", 'no "format"'),
        ({"format": "something", "version": 1}, 'no "format"'),
        (transcript(ENTRY) | {"version": 2}, "only version 1"),
        (transcript() | {"utterances": {}}, "is not a list"),
        (transcript(ENTRY, 7), "utterance 2: it is not an object"),
        (transcript(ENTRY, {**ENTRY, "text": None}), '"text" is not text'),
        (transcript({**ENTRY, "start": "1"}), '"start" is not a number'),
        (transcript({**ENTRY, "start": True}), '"start" is not a number'),
        (transcript({**ENTRY, "start": -1}), "no time in seconds"),
        (transcript({**ENTRY, "end": 1e300}), "no time in seconds"),
        (transcript({**ENTRY, "end": 0.5}), "ends before it starts"),
        (transcript({**ENTRY, "words": [{"text": "x", "start": 2, "end": 1}]}), "a word ends"),
        (transcript({**ENTRY, "words": [{"start": 2, "end": 1}]}), 'a word has no "text"'),
        ('{"format": "ashdraft-transcript", "version": 1, "utterances": [{"start": NaN}]}', "NaN"),
        ({"format": "ashdraft-notes", "version": 1, "utterances": [], "recordings": [{}]},
         "recordings: "),
    ],
)  # fmt: skip
def test_transcripts_damage_is_named(data: Any, what: str, tmp_path: Path) -> None:
    with pytest.raises(TranscriptDamaged) as caught:
        opened(tmp_path, data)
    assert what in caught.value.message
    assert caught.value.message.startswith("a.json, line ")


def test_transcripts_damaged_entry_is_named_by_its_line(tmp_path: Path) -> None:
    lines = [
        '{"format": "ashdraft-transcript", "version": 1,',
        '"utterances": [',
        '  {"start": 1, "end": 2, "text": "a [b] {c}, \\"d\\""},',
        '  {"start": 3, "end": 4, "text": "fine"},',
        '  {"start": 5, "end": 4, "text": "wrong"}',
        "]}",
    ]
    with pytest.raises(TranscriptDamaged, match="line 5: utterance 3: it ends before it starts"):
        opened(tmp_path, "\n".join(lines))
