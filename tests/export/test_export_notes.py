"""`notes.json`: the keys of docs/notes-format.md, the same bytes each time, and back again."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from typing import Any, get_args

import pytest
from ashdraft.errors import TranscriptDamaged
from ashdraft.export import NotesInvalid, notes_json, read_notes, schema, validate
from ashdraft.export.notes import to_document
from ashdraft.model import (
    SECTIONS,
    Chapter,
    Count,
    Descriptor,
    Event,
    EventKind,
    Intensity,
    MadeBy,
    Mark,
    Notes,
    Polarity,
    Reading,
    Recording,
    Repair,
    Section,
    Source,
    ThirdBasis,
    Timing,
    Utterance,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

seconds = st.integers(0, 40_000_000).map(lambda ms: ms / 1000)
likely = st.integers(0, 1000).map(lambda n: n / 1000)
thirds = st.none() | st.sampled_from([1, 2, 3])
sections = st.sampled_from(SECTIONS)
written = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)
IDS = range(5)
ids = st.sampled_from(IDS)
counts = st.builds(
    Count,
    st.integers(0, 9),
    st.tuples(st.integers(0, 9), st.integers(0, 9), st.integers(0, 9)),
    st.lists(ids, max_size=3).map(tuple),
)
facts = st.fixed_dictionaries(
    {},
    optional={
        "length_in": st.sampled_from([5.625, 4.4375, 6]),
        "ring_gauge": st.integers(20, 80),
        "price": st.floats(0, 1000),
        "currency": st.sampled_from(["USD", "EUR"]),
        "wrapper": written,
        "samples": st.integers(1, 20),
    },
)


def rows(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(strategy, max_size=4).map(tuple)


utterance = st.builds(
    Utterance, st.just(0), seconds, seconds, written, written, written, sections, thirds,
    st.sampled_from([None, "said", "cue", "carried", "timed"]), likely,
)  # fmt: skip
readings = st.builds(
    Reading,
    kind=st.just("live"),
    utterances=st.tuples(*[utterance.map(lambda u, i=i: replace(u, id=i)) for i in IDS]),
    descriptors=rows(
        st.builds(
            Descriptor,
            written,
            written,
            st.sampled_from(get_args(Polarity)),
            st.sampled_from(get_args(Source)),
            st.sampled_from(get_args(Intensity)),
            sections,
            thirds,
            ids,
            seconds,
            written,
        )
    ),
    events=st.builds(Event, st.just("lit"), thirds, ids, seconds).map(lambda e: (e,)),
    touch_ups=counts,
    relights=counts,
    facts=facts,
    timing=st.builds(Timing, *[st.none() | seconds] * 4),
    marks=rows(st.builds(Mark, written, st.floats(-1e6, 1e6), st.none() | st.just(100), ids)),
    chapters=rows(st.builds(Chapter, seconds, written, sections, thirds)),
)
recordings = rows(
    st.builds(
        Recording,
        written,
        st.binary(min_size=32, max_size=32).map(bytes.hex),
        seconds,
        seconds,
        st.none() | st.just("2026-05-02T20:14:00+02:00"),
    )
)
every_notes = st.builds(
    Notes,
    made_by=st.builds(MadeBy, written, st.none() | written, written, written),
    recordings=recordings,
    reading=readings,
    repairs=rows(st.builds(Repair, written, written, ids, written, likely)),
)


@settings(max_examples=80)
@given(every_notes)
def test_notes_come_back_as_they_were(notes: Notes) -> None:
    text = notes_json(notes)
    assert read_notes(text) == notes
    assert notes_json(read_notes(text)) == text
    assert text.encode("utf-8").decode("utf-8") == text


NOTES = Notes(
    made_by=MadeBy("0.1.0", "base", "core", "abc"),
    recordings=(Recording("stick2.m4a", "0" * 64, 0.0, 5400.0, "2026-05-02T20:14:00+02:00"),),
    reading=Reading(
        kind="live",
        utterances=(
            Utterance(12, 812.4, 816.9, "um touched it up wants", "um touched it up once",
                      "Touched it up once.", "burn", 1, "said", 0.93),
        ),
        descriptors=(
            Descriptor("cedar", "wood", "present", "retrohale", "faint", "palate", 1, 12, 812.4,
                       "a touch of cedar"),
        ),
        events=(Event("touch-up", 1, 12, 812.4),),
        touch_ups=Count(1, (1, 0, 0), (12,)),
        facts={"price": 8.5, "length_in": 5.625, "name": "Dunvarrick"},
        timing=Timing(lit=231.0),
        marks=(Mark("draw", 8, 9, 12),),
        chapters=(Chapter(0.0, "Setup", "setup", None),),
    ),
    repairs=(
        Repair("wants", "once", 12, "sounds like a count", 0.97),
        Repair("hail", "hale", 12, "sounds like a trade term", 0.5, applied=False),
    ),
)  # fmt: skip
CONTRACT = {
    "": "format version made_by recordings utterances descriptors events counts facts timing "
        "marks chapters repairs",
    "made_by": "ashdraft speech_model language_model lexicon",
    "recordings": "file sha256 offset duration recorded_at",
    "utterances": "id start end heard said text section third third_basis confidence",
    "descriptors": "term family polarity source intensity section third utterance start quote",
    "events": "kind third utterance start",
    "counts": "touch_ups relights",
    "timing": "lit second_third final_third put_down",
    "marks": "item value scale utterance",
    "chapters": "start title section third",
    "repairs": "heard meant utterance reason confidence",
}  # fmt: skip


@pytest.mark.parametrize("part", CONTRACT)
def test_keys_are_those_of_the_format_in_its_order(part: str) -> None:
    document = json.loads(notes_json(NOTES))
    found = document[part] if part else document
    found = found[0] if isinstance(found, list) else found
    assert " ".join(found) == CONTRACT[part]


def test_only_known_facts_in_the_order_of_the_format() -> None:
    document = json.loads(notes_json(replace(NOTES, typed_facts={"price": 9, "maker": "Quillon"})))
    assert list(document["facts"].items()) == [("length_in", 5.625), ("price", 9)]


def test_suggested_repairs_stay_out() -> None:
    assert [r["meant"] for r in json.loads(notes_json(NOTES))["repairs"]] == ["once"]


def test_times_are_whole_milliseconds() -> None:
    timing = Timing(lit=0.1 + 0.2, put_down=-0.0)
    text = notes_json(replace(NOTES, reading=replace(NOTES.reading, timing=timing)))
    assert '"lit": 0.3,' in text
    assert '"put_down": 0.0\n' in text


def test_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(dict(schema()))


@pytest.mark.parametrize(
    ("part", "key", "literal"),
    [
        ("utterance", "third_basis", ThirdBasis),
        ("descriptor", "polarity", Polarity),
        ("descriptor", "source", Source),
        ("descriptor", "intensity", Intensity),
        ("event", "kind", EventKind),
    ],
)
def test_schema_knows_the_words_of_the_model(part: str, key: str, literal: Any) -> None:
    words = schema()["$defs"][part]["properties"][key]["enum"]
    assert tuple(w for w in words if w is not None) == get_args(literal)
    assert tuple(schema()["$defs"]["section"]["enum"]) == get_args(Section)


def broken(path: str, value: Any) -> dict[str, Any]:
    document: dict[str, Any] = copy.deepcopy(to_document(NOTES))
    *way, last = (int(step) if step.isdigit() else step for step in path.split("."))
    at: Any = document
    for step in way:
        at = at[step]
    at[last] = value
    return document


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("version", 2),
        ("extra", 1),
        ("recordings.0.sha256", "abc"),
        ("utterances.0.section", "smoke"),
        ("utterances.0.third", 4),
        ("utterances.0.start", "812"),
        ("utterances.0.confidence", 1.5),
        ("descriptors.0.utterance", 13),
        ("events.0.utterance", 13),
        ("marks.0.utterance", 13),
        ("repairs.0.utterance", 13),
        ("counts.touch_ups.utterances", [13]),
        ("counts.touch_ups.by_third", [1, 0]),
        ("facts.maker", "Quillon"),
        ("facts.currency", "usd"),
        ("timing.lit", True),
        ("repairs.0.applied", True),
    ],
)
def test_validate_refuses_and_never_quotes(path: str, value: Any) -> None:
    validate(to_document(NOTES))
    with pytest.raises(NotesInvalid) as caught:
        validate(broken(path, value))
    assert "touched" not in str(caught.value).lower()


def test_validate_refuses_an_id_twice() -> None:
    document = to_document(NOTES)
    document["utterances"] *= 2
    with pytest.raises(NotesInvalid, match="id twice"):
        validate(document)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"format": "x"}', "[" * 100_000, "NaN"])
def test_read_notes_refuses_what_is_not_notes(text: str) -> None:
    with pytest.raises(TranscriptDamaged):
        read_notes(text)


def test_nan_is_never_written() -> None:
    marks = (Mark("draw", float("nan"), None, 12),)
    with pytest.raises(ValueError, match="JSON"):
        notes_json(replace(NOTES, reading=replace(NOTES.reading, marks=marks)))
