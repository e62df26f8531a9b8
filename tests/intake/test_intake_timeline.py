"""Several clips on one timeline: recording times, gaps, overlaps, file-name order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from ashdraft.intake.names import natural
from ashdraft.intake.recorded import recorded_at
from ashdraft.intake.timeline import Part, place

NOON = datetime(2026, 5, 2, 12, 0, tzinfo=UTC)


def at(seconds: float) -> datetime:
    return NOON + timedelta(seconds=seconds)


def test_timeline_keeps_real_gaps_in_recording_order() -> None:
    placing = place([Part("b", 60, at(300)), Part("a", 100, at(0)), Part("c", 30, at(4000))])
    assert placing.order == (1, 0, 2)
    assert placing.offsets == (0, 300, 4000)
    assert placing.notices == ()


def test_timeline_compares_moments_across_time_zones() -> None:
    east = timezone(timedelta(hours=2))
    one = Part("one", 10, datetime(2026, 5, 2, 14, 0, tzinfo=east))
    placing = place([Part("two", 10, at(60)), one])
    assert placing.order == (1, 0)
    assert placing.offsets == (0, 60)


def test_timeline_reports_an_overlap_and_keeps_the_times() -> None:
    placing = place([Part("one", 600, at(0)), Part("two", 60, at(500))])
    assert placing.offsets == (0, 500)
    assert placing.notices == (
        "two begins 2 minutes before one ends, going by their recording times; both are kept"
        " at those times.",
    )


def test_timeline_takes_a_second_of_overlap_for_clock_rounding() -> None:
    placing = place([Part("one", 600.7, at(0)), Part("two", 60, at(600))])
    assert placing.offsets == (0, 600.7)
    assert placing.notices == ()


def test_timeline_asks_about_clips_half_a_day_apart() -> None:
    placing = place([Part("one", 60, at(0)), Part("two", 60, at(12 * 3600))])
    assert placing.offsets == (0, 12 * 3600)
    assert "one session?" in placing.notices[0]


@pytest.mark.parametrize(
    ("moments", "reason"),
    [
        ((at(0), None), "b holds no recording time"),
        ((at(0), at(0)), "are the same"),
        ((at(0), datetime(2026, 5, 2, 13, 0)), "time zone"),
    ],
)
def test_timeline_falls_back_to_names_and_says_why(
    moments: tuple[datetime | None, ...], reason: str
) -> None:
    parts = [Part(name, 60, moment) for name, moment in zip("ab", moments, strict=True)]
    placing = place(parts)
    assert placing.order == (0, 1)
    assert placing.offsets == (0, 60)
    assert "by file name" in placing.notices[0]
    assert reason in placing.notices[0]


def test_timeline_of_one_part_needs_no_notice() -> None:
    assert place([Part("one", 60)]).notices == ()


def test_names_sort_as_people_number_them() -> None:
    names = ["Memo 10.m4a", "memo 2.m4a", "Memo.m4a", "a.wav", "memo 2b.m4a", "03.wav"]
    assert [p.name for p in sorted(map(Path, names), key=natural)] == [
        "03.wav", "a.wav", "Memo.m4a", "memo 2.m4a", "memo 2b.m4a", "Memo 10.m4a",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("tags", "wanted"),
    [
        # ISO base media: creation_time as FFmpeg prints mvhd's creation time.
        ({"creation_time": "2026-05-02T18:14:00.000000Z"}, "2026-05-02T18:14:00+00:00"),
        # QuickTime metadata keeps the local zone and wins over the header's UTC.
        (
            {
                "creation_time": "2026-05-02T18:14:00Z",
                "com.apple.quicktime.creationdate": "2026-05-02T20:14:00+0200",
            },
            "2026-05-02T20:14:00+02:00",
        ),
        # Broadcast WAV, EBU Tech 3285: OriginationDate and OriginationTime.
        ({"date": "2026-05-02", "creation_time": "20:14:00"}, "2026-05-02T20:14:00"),
        ({"DATE": "2026-05-02T20:14:00"}, "2026-05-02T20:14:00"),  # ID3v2.4 TDRC with a time
        ({"date": "2026"}, None),
        ({"date": "2026-05-02"}, None),
        ({"creation_time": "1904-01-01T00:00:00Z"}, None),
        ({"creation_time": "yesterday"}, None),
        ({}, None),
    ],
)
def test_recorded_at_reads_what_containers_write(tags: dict[str, str], wanted: str | None) -> None:
    moment = recorded_at([tags])
    assert (moment.isoformat() if moment else None) == wanted
