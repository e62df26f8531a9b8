"""The session as a strip: everything stands at its time, in reach, and in words as well."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from ashdraft.charts import session_strip
from ashdraft.charts.lanes import AIR, EDGE, stacked
from ashdraft.charts.spans import gaps, thirds
from ashdraft.model import Recording, Timing
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.assemble import gold

SVG = "{http://www.w3.org/2000/svg}"
LIVE = gold.reading("d01")
RECORDING = Recording("stick.m4a", "0" * 64, 0.0, max(u.end for u in LIVE.utterances))


def root(**more: object) -> ElementTree.Element:
    return ElementTree.fromstring(session_strip(LIVE, [RECORDING], **more))  # type: ignore[arg-type]


@pytest.mark.parametrize("width", [358, 960])
def test_strip_every_sentence_is_a_block_at_its_time(width: int) -> None:
    svg = root(width=width)
    low, high = (float(svg.get(f"data-{end}", "nan")) for end in ("from", "to"))
    seconds = float(svg.get("data-seconds", "nan"))
    drawn = " ".join(p.get("d", "") for p in svg.iter(f"{SVG}path") if p.get("class") == "said")
    starts = sorted(float(x) for x in re.findall(r"M([\d.]+) ", drawn))
    expected = sorted(low + u.start / seconds * (high - low) for u in LIVE.utterances)
    assert starts == pytest.approx(expected, abs=0.01)
    assert high <= width


@pytest.mark.parametrize("width", [358, 960])
def test_strip_every_note_is_a_dot(width: int) -> None:
    dots = list(root(width=width).iter(f"{SVG}circle"))
    assert len(dots) == sum(d.polarity == "present" for d in LIVE.descriptors)
    places = [(dot.get("cx"), dot.get("cy")) for dot in dots]
    assert len(set(places)) == len(places)


def test_strip_tells_in_words_what_it_draws() -> None:
    told = root().findtext(f"{SVG}desc") or ""
    assert f"{len(LIVE.utterances)} sentences" in told
    for event in LIVE.events:
        word = {"ash-drop": "ash falls", "put-down": "put down", "band-off": "band off"}.get(
            event.kind, event.kind
        )
        assert (f"{word} " in told) == (event.kind not in ("second-third", "final-third"))
    assert "first third" in told


def test_strip_without_anything_said() -> None:
    blank = replace(LIVE, utterances=(), descriptors=(), events=(), timing=Timing())
    svg = ElementTree.fromstring(session_strip(blank, []))
    assert "0 sentences" in (svg.findtext(f"{SVG}desc") or "")


def test_strip_of_a_very_long_recording_has_readable_figures() -> None:
    last = replace(LIVE.utterances[-1], start=40 * 3600.0, end=40 * 3600 + 5.0)
    long = replace(LIVE, utterances=(*LIVE.utterances[:-1], last))
    svg = ElementTree.fromstring(session_strip(long, [], width=358))
    figures = [t for t in svg.iter(f"{SVG}text") if re.fullmatch(r"[\d:]+", t.text or "")]
    at = sorted(float(t.get("x", "nan")) for t in figures)
    assert len(at) >= 2
    assert min(b - a for a, b in pairwise(at)) > 30


WANTED = st.lists(
    st.tuples(st.floats(100, 900, width=32), st.floats(20, 150, width=32)), max_size=25
)


@settings(max_examples=150, deadline=None)
@given(WANTED)
def test_labels_never_cover_each_other_nor_a_leader(wanted: list[tuple[float, float]]) -> None:
    places = [p for p in stacked(wanted, 100, 900, 9) if p]
    for one, other in combinations(places, 2):
        if one.lane == other.lane:
            assert one.left >= other.right + AIR or other.left >= one.right + AIR
        else:
            upper, lower = (one, other) if one.lane > other.lane else (other, one)
            assert not lower.left + EDGE < upper.x < lower.right - EDGE
    for place in places:
        assert 100 <= place.left <= place.x <= place.right <= 900
    assert {p.lane for p in places} == set(range(len({p.lane for p in places})))


def test_labels_all_find_room_where_few_are_wanted() -> None:
    wanted = [(120.0, 60.0), (200.0, 80.0), (210.0, 80.0), (890.0, 90.0)]
    assert all(stacked(wanted, 100, 900, 9))


def test_thirds_of_a_live_session_lie_where_they_were_said_to_begin() -> None:
    timing = Timing(lit=60.0, second_third=900.0, final_third=1800.0, put_down=2700.0)
    spans = thirds(replace(LIVE, kind="live", timing=timing), 3000.0)
    assert [(s.start, s.end, s.known) for s in spans] == [
        (60.0, 900.0, True), (900.0, 1800.0, True), (1800.0, 2700.0, True),
    ]  # fmt: skip


def test_third_that_nobody_announced_begins_with_its_first_sentence_and_says_so() -> None:
    live = replace(LIVE, kind="live", timing=Timing(lit=60.0))
    first = {n: next(u.start for u in live.utterances if u.third == n) for n in (2, 3)}
    spans = thirds(live, 9000.0)
    assert [s.known for s in spans] == [True, False, False]
    assert [s.start for s in spans] == [60.0, first[2], first[3]]
    assert spans[1].told().endswith("inferred")


def test_thirds_of_a_narration_lie_where_each_was_told() -> None:
    a, b, c = LIVE.utterances[:3]
    told = (replace(a, third=3), replace(b, third=3), replace(c, third=1))
    spans = thirds(replace(LIVE, kind="narration", utterances=told), 100.0)
    assert [(s.words, s.start, s.end) for s in spans] == [
        ("final third", a.start, b.end), ("first third", c.start, c.end),
    ]  # fmt: skip


def test_gaps_are_what_lies_between_recordings() -> None:
    parts = [Recording("b", "", 100.0, 50.0), Recording("a", "", 0.0, 60.0)]
    assert [(g.start, g.end) for g in gaps(parts)] == [(60.0, 100.0)]
    svg = session_strip(LIVE, parts)
    assert "not recorded 1:00 to 1:40" in svg


@pytest.mark.parametrize("width", [358, 960])
def test_strip_labels_every_event_of_the_labelled_live_sessions(width: int) -> None:
    for path in gold.FILES[::4]:
        reading = gold.reading(path.stem)
        if reading.kind == "live":
            svg = ElementTree.fromstring(session_strip(reading, [], width=width))
            words = [t.text or "" for t in svg.iter(f"{SVG}text")]
            events = [e for e in reading.events if e.kind not in ("second-third", "final-third")]
            assert sum(bool(re.search(r"[a-z] \d+:", w)) for w in words) == len(events)
