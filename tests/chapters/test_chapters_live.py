"""Chapters of live sessions, on the labelled recordings and on made ones."""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.chapters import entries
from ashdraft.model import Count, Descriptor, Event, Reading
from ashdraft.rules import read
from ashdraft.rules.chapter_live import live_runs
from ashdraft.rules.chapter_runs import Run
from ashdraft.rules.chapter_titles import Spoken, title
from ashdraft.rules.lines import Line
from ashdraft.rules.place.model import Placed
from ashdraft_models.reading.labelled import Labelled, load_folders

LABELLED = Path(__file__).parents[1] / "labelled" / "dev"
NONE = Count(0, (0, 0, 0), ())
LIVE = [r for r in load_folders([LABELLED]) if r.kind == "live"]


PARAMS = [
    pytest.param(r, marks=pytest.mark.slow if n > 2 else (), id=r.id) for n, r in enumerate(LIVE)
]


@pytest.fixture(scope="module", params=PARAMS)
def session(request: pytest.FixtureRequest) -> tuple[Labelled, Reading]:
    return request.param, read(request.param.said())


def test_each_third_is_one_chapter_and_in_order(session: tuple[Labelled, Reading]) -> None:
    recording, reading = session
    thirds = [
        c
        for c in reading.chapters
        if c.title.startswith(("First third", "Second third", "Final third"))
    ]
    assert [c.third for c in thirds] == [1, 2, 3]
    starts = [c.start for c in reading.chapters]
    assert starts == sorted(set(starts))
    assert len(entries(reading.chapters, recording.said())) == len(starts)


def test_titles_of_thirds_lead_with_notes_labelled_there(
    session: tuple[Labelled, Reading],
) -> None:
    """Most of them: which notes stand in which third is found, and not always as labelled."""
    recording, reading = session
    named = [
        (c.third, term)
        for c in reading.chapters
        if c.title.startswith(("First third: ", "Second third: ", "Final third: "))
        for term in c.title.partition(": ")[2].split(", ")
    ]
    gold = {
        (u["third"], d["term"])
        for u in recording.utterances
        for d in u["descriptors"]
        if d["polarity"] == "present"
    }
    assert len(named) >= 4
    assert sum(one in gold for one in named) >= 0.75 * len(named)


def test_relights_are_chapters(session: tuple[Labelled, Reading]) -> None:
    _, reading = session
    for event in reading.events:
        near = [c.title for c in reading.chapters if abs(c.start - event.start) < 30]
        if event.kind == "relight":
            assert near, event


def made(*stages: tuple[str, int]) -> tuple[list[Line], list[Placed]]:
    """Lines a minute apart; each with its section and the third at hand."""
    lines = [Line(i, i * 60.0, i * 60.0 + 5, "words", ()) for i in range(len(stages))]
    return lines, [Placed(s, None, None, 1.0, at) for s, at in stages]  # type: ignore[arg-type]


STAGES = (
    *[("setup", 0)] * 3, *[("palate", 1)] * 2, *[("burn", 1)] * 3,
    *[("palate", 2)] * 3, *[("pairing", 2)] * 3, *[("palate", 2)] * 3, *[("burn", 3)] * 2,
    *[("verdict", 4)] * 2,
)  # fmt: skip


def test_talk_while_smoking_is_cut_by_thirds_and_longer_talk_of_something_else() -> None:
    lines, placed = made(*STAGES)
    assert live_runs(lines, placed, []) == [
        Run(0, 3, "setup"),
        Run(3, 8, "palate", 1),
        Run(8, 11, "palate", 2),
        Run(11, 14, "pairing"),
        Run(14, 17, "palate", 2, back=True),
        Run(17, 19, "palate", 3),
        Run(19, 21, "verdict"),
    ]


def test_event_is_a_chapter_unless_another_begins_near_by() -> None:
    lines, placed = made(*STAGES)
    events = [
        Event("relight", 1, 5, 300.0),
        Event("touch-up", 2, 8, 480.0),  # where the second third begins
        Event("second-third", 2, 8, 480.0),
        Event("put-down", 3, 18, 1080.0),
    ]
    found = live_runs(lines, placed, events)
    assert [(r.first, r.event) for r in found if r.event] == [(5, "relight"), (18, "put-down")]
    assert [r.first for r in found] == [0, 3, 5, 8, 11, 14, 17, 18, 19]


def note(term: str, at: int, intensity: str = "plain", source: str = "palate") -> Descriptor:
    return Descriptor(term, "f", "present", source, intensity, "palate", 1, at, 0.0, term)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("notes", "shown"),
    [
        ([], "First third"),
        ([note("cedar", 1)], "First third: cedar"),
        ([note("cedar", 1), note("hay", 2, "strong"), note("oak", 2)], "First third: hay, cedar"),
        ([note("pepper", 1), note("black pepper", 2)], "First third: black pepper"),
        ([note("rain", 1, "strong", "room"), note("oak", 2)], "First third: oak"),
        ([note("oak", 9)], "First third"),
    ],
)
def test_leading_notes_of_a_title(notes: list[Descriptor], shown: str) -> None:
    lines, _ = made(*STAGES)
    spoken = Spoken(notes, NONE, NONE, {})
    assert title([Run(0, 4, "palate", 1), Run(4, 5, "verdict")], 0, lines, spoken) == shown


def test_titles_say_what_was_counted_and_which_format() -> None:
    lines, _ = made(*STAGES)
    spoken = Spoken((), Count(2, (1, 1, 0), (3,)), Count(1, (0, 1, 0), (4,)), {"format": "toro"})
    runs = [Run(0, 3, "setup"), Run(3, 5, "burn"), Run(5, 6, "burn"), Run(6, 7, "aside")]
    assert [title(runs, i, lines, spoken) for i in range(4)] == [
        "The cigar: toro",
        "Burn: two touch-ups, one relight",
        "Burn",
        "Sign-off",
    ]
