"""The notes of a recording as notes of the cut: the same statements, at the cut's seconds.

What was not said in the cut is not in them, nor is a statement that rests on it; totals and
facts stay, since they were reported of the cigar and not of the video.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from ..model import Chapter, Count, Descriptor, Event, Mark, Notes, Repair, Timing, Utterance
from .cut import Cut
from .moved import Heard

Statement = TypeVar("Statement", Descriptor, Event)
Pointing = TypeVar("Pointing", Mark, Repair)
_SAME = 0.05


def notes_of_cut(
    notes: Notes, cut: Cut, heard: Sequence[Heard], chapters: Sequence[Chapter]
) -> Notes:
    """Return the notes of the cut. `chapters` are those of the recording, as they were edited."""
    reading = notes.reading
    originals = {u.id: u for u in reading.utterances}
    first = {one.origin: one for one in heard if one.said.id == one.origin}
    moved = replace(
        reading,
        utterances=tuple(_utterance(originals[one.origin], one) for one in heard),
        descriptors=_moved(reading.descriptors, cut, first),
        events=_moved(reading.events, cut, first),
        touch_ups=_count(reading.touch_ups, first),
        relights=_count(reading.relights, first),
        timing=_timing(reading.timing, cut),
        marks=_pointing(reading.marks, first),
        earlier_marks=_pointing(reading.earlier_marks, first),
        chapters=chapters_of_cut(chapters, cut, heard),
    )
    return replace(
        notes,
        recordings=(cut.video,),
        reading=moved,
        repairs=_pointing(notes.repairs, first),
        taps=(),  # made at the table, at times that the cut does not have
    )


def chapters_of_cut(
    chapters: Sequence[Chapter], cut: Cut, heard: Sequence[Heard]
) -> tuple[Chapter, ...]:
    """Return the chapters in the order in which the cut goes through them.

    A passage that begins in the middle of a chapter begins that chapter in the cut, unless the
    cut is in it already; a chapter that comes twice is listed twice.
    """
    in_order = sorted(chapters, key=lambda c: c.start)
    found: list[Chapter] = []
    for passage in cut.passages:
        spoken = [u.said.start for u in heard if passage.start - 1 <= u.said.start < passage.end]
        if not spoken:
            continue
        begin = max(min(spoken), passage.start) + passage.distance
        end = passage.end + passage.distance
        under_way = [c for c in in_order if c.start <= begin + _SAME]
        later = [c for c in in_order if begin + _SAME < c.start < end - _SAME]
        for chapter in [*under_way[-1:], *later]:
            at = max(chapter.start - passage.distance, passage.start)
            if not found or not _same(found[-1], chapter):
                found.append(replace(chapter, start=round(at, 3)))
    return tuple(found)


def _same(one: Chapter, other: Chapter) -> bool:
    return (one.title, one.section, one.third) == (other.title, other.section, other.third)


def _utterance(original: Utterance, heard: Heard) -> Utterance:
    said = heard.said
    return replace(
        original,
        id=said.id,
        start=said.start,
        end=said.end,
        heard=said.heard,
        said=said.said,
        text=said.text,
    )


def _moved(rows: Sequence[Statement], cut: Cut, first: dict[int, Heard]) -> tuple[Statement, ...]:
    found = []
    for row in rows:
        if row.utterance not in first:
            continue
        said = first[row.utterance].said
        at = next(
            (
                row.start - p.distance
                for p in cut.passages
                if said.start - _SAME <= row.start - p.distance <= said.end + _SAME
                and p.start - 1 <= row.start - p.distance <= p.end + 1
            ),
            said.start,
        )
        found.append(replace(row, start=round(max(at, 0.0), 3)))
    return tuple(found)


def _pointing(rows: Sequence[Pointing], first: dict[int, Heard]) -> tuple[Pointing, ...]:
    return tuple(row for row in rows if row.utterance in first)


def _count(count: Count, first: dict[int, Heard]) -> Count:
    return replace(count, utterances=tuple(u for u in count.utterances if u in first))


def _timing(timing: Timing, cut: Cut) -> Timing:
    def moved(second: float | None) -> float | None:
        passage = cut.passage_of(second) if second is not None else None
        if second is None or passage is None:
            return None
        return round(max(second - passage.distance, 0.0), 3)

    return Timing(
        moved(timing.lit),
        moved(timing.second_third),
        moved(timing.final_third),
        moved(timing.put_down),
    )
