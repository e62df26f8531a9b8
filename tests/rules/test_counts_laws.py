"""What holds for any text whatever: no crash, counts that add up, evidence that exists."""

from __future__ import annotations

from ashdraft.rules.counts import count_as, find_events
from ashdraft.rules.facts import read_facts, read_marks
from ashdraft.rules.lines import Line
from ashdraft.rules.place.model import Placed
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from .cases import lines, placed, raw, read_cases

WORDS = (
    "touch up touched it relit relight went out no not two three one so that's six by fifty two "
    "percent box of ten dollars each draw burn overall eight out minutes hour wrapper ecuador the "
    "first third last in a half and 5 5/8 x $ , . ? um nearly about to again lit ash fell band off"
).split()
SECTIONS = ("setup", "burn", "palate", "verdict", "presentation", "aside")

placings = st.tuples(st.sampled_from(SECTIONS), st.sampled_from([None, 1, 2, 3]), st.integers(0, 4))
spoken = st.lists(st.sampled_from(WORDS), max_size=14).map(" ".join) | st.text(max_size=60)
recordings = st.lists(st.tuples(spoken, placings), max_size=12)


def _made(recording: list[tuple[str, tuple[str, int | None, int]]]) -> tuple[
    tuple[Line, ...], tuple[Placed, ...]
]:  # fmt: skip
    said = tuple(Line(n * 3 + 7, n * 6.0, n * 6.0 + 4, t, ()) for n, (t, _) in enumerate(recording))
    where = tuple(
        Placed(section, third, None, 0.5, current)  # type: ignore[arg-type]
        for _, (section, third, current) in recording
    )
    return said, where


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(recordings)
def test_counts_and_facts_hold_for_any_text(
    recording: list[tuple[str, tuple[str, int | None, int]]],
) -> None:
    said, where = _made(recording)
    ids = {line.id for line in said}
    found = find_events(said)
    for kind in ("live", "narration"):
        counted = count_as(said, where, found, kind)  # type: ignore[arg-type]
        for count in (counted.touch_ups, counted.relights):
            assert count.total >= 0
            assert all(n >= 0 for n in count.by_third)
            assert sum(count.by_third) == count.total or counted.checks
            assert set(count.utterances) <= ids
        starts = [e.start for e in counted.events]
        assert starts == sorted(starts)
        assert not (kind == "narration" and counted.events)
        assert all(e.third in (1, 2, 3) for e in counted.events)
    facts = read_facts(said, where)
    assert facts.values.keys() == facts.evidence.keys()
    assert all(set(e) <= ids and e for e in facts.evidence.values())
    marks = read_marks(said, where).last
    assert len({m.item for m in marks}) == len(marks)
    assert all(m.utterance in ids for m in marks)
    assert all(m.scale is None or 0 <= m.value <= m.scale for m in marks)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=300), st.sampled_from(["مرحبا", "🎉🔥", "", "\n\t", "½ ¼", "a" * 200]))
def test_counts_and_facts_survive_odd_text(text: str, odd: str) -> None:
    said = tuple(
        Line(n, n * 5.0, n * 5.0 + 1, t, ()) for n, t in enumerate((text, odd, odd + text))
    )
    where = tuple(Placed("burn", None, None, 0.1, 2) for _ in said)
    count_as(said, where, find_events(said), "live")
    read_facts(said, where)
    read_marks(said, where)


def test_counts_and_facts_read_ten_thousand_words_in_one_utterance() -> None:
    text = "two touch ups one relight six by fifty two it went out a box of ten is ninety " * 600
    said = (Line(0, 0.0, 5.0, text, ()),)
    where = (Placed("setup", None, None, 0.5, 1),)
    assert read_facts(said, where).values
    assert count_as(said, where, find_events(said), "live").touch_ups.total >= 0


def test_counts_tolerate_fewer_placed_lines_than_lines() -> None:
    said = tuple(Line(n, n * 9.0, n * 9.0 + 1, "Touched it up.", ()) for n in range(3))
    where = (Placed("burn", 1, "said", 0.9, 1),)
    assert count_as(said, where, find_events(said), "live").touch_ups.total == 3


def test_raw_text_reads_like_written_text() -> None:
    """Over all fixtures the bare words lose nothing that the punctuated ones give."""
    for case in read_cases("facts.txt"):
        if not case.written:
            where = placed(case, "setup")
            written = read_facts(lines(case), where).values
            assert written.keys() == read_facts(lines(case, bare=True), where).values.keys()
            assert raw(case.spoken[0][1]) == raw(raw(case.spoken[0][1]))
