"""Chapters: the places a viewer would jump to."""

from __future__ import annotations

from collections.abc import Sequence

from ..model import Chapter, Event, Kind
from .chapter_live import live_runs
from .chapter_runs import Run, by_third, topics
from .chapter_titles import Spoken, title
from .lines import Line
from .place.model import Placed


def chapters(
    lines: Sequence[Line],
    placed: Sequence[Placed],
    recorded: Kind,
    events: Sequence[Event],
    spoken: Spoken,
) -> tuple[Chapter, ...]:
    """One chapter a topic, the first at the first utterance; thirds inside the palate talk.

    In a live session one a third and one an event between lighting and putting down.
    """
    if not lines:
        return ()
    runs = live_runs(lines, placed, events) if recorded == "live" else _told(placed)
    return tuple(
        Chapter(lines[run.first].start, title(runs, at, lines, spoken), run.section, run.third)
        for at, run in enumerate(runs)
    )


def _told(placed: Sequence[Placed]) -> list[Run]:
    """The runs of a narration."""
    runs: list[Run] = []
    for run in topics([p.section for p in placed]):
        runs += by_third(run, placed) if run.section == "palate" else [run]
    return runs
