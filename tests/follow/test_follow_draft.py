"""The times that a reader of the cut's draft sees. Answers by hand."""

from __future__ import annotations

import pytest
from ashdraft.assemble.times import clock, definitions
from ashdraft.follow import heard_in
from ashdraft.follow.draft import draft_of_cut

from tests.follow.test_follow_moved import LINES, cut, notes

MADE = cut((0, 6, 39), (6, 12, 19))
"""Sentence 3 (0:40) is at 0:01 of the cut, sentence 1 (0:20) at 0:07; 0 and 2 are not in it."""


def moved(text: str) -> str:
    return draft_of_cut(text, notes(), MADE, heard_in(MADE, LINES))


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("| Ring gauge | 46 | said at 0:20 |", "| Ring gauge | 46 | said at 0:07 |"),
        (
            "| Ring gauge | 46 | said at 0:10 |",
            "| Ring gauge | 46 | said at 0:10 in the recording |",
        ),
        ("- Look here. Listen at 0:40 (40.0 s).", "- Look here. Listen at 0:01 (1.0 s)."),
        (
            "- Look here. Listen at 0:30 (30.0 s).",
            "- Look here. Listen at 0:30 in the recording (30.0 s).",
        ),
        ("- cedar (0:23, 0:34)", "- cedar (0:10, 0:34 in the recording)"),
        ("*Announcements: “It opens” (0:20)*", "*Announcements: “It opens” (0:07)*"),
        ("| Began | 0:10 | 0:30 |", "| Began | 0:10 in the recording | 0:30 in the recording |"),
        ("| Quote | “lit at 0:20 sharp” (0:20) |", "| Quote | “lit at 0:20 sharp” (0:07) |"),
    ],
)
def test_times_in_the_tools_lines_are_the_cuts(line: str, expected: str) -> None:
    assert moved(f"{line}\n") == f"{expected}\n"


@pytest.mark.parametrize(
    "line",
    [
        "I lit it at 0:20 sharp.",
        "## Burn at 0:20",
        "- lasted 0:55",
        "- Listen at 0:20 (20.7 s).",
        "- a ratio of 1:0:20:3",
        "- 0:20 in the recording",
    ],
)
def test_other_numbers_and_the_speakers_own_stay(line: str) -> None:
    assert moved(f"{line}\n") == f"{line}\n"


def test_front_matter_names_the_video_and_keeps_all_else() -> None:
    front = '---\ntitle: Half at 0:20\nrecordings:\n- a.wav\n- "b: c.wav"\ndate: 2026-01-02\n---\n'
    assert moved(f"{front}\n- 0:20\n") == (
        '---\ntitle: Half at 0:20\nrecordings:\n- "cut.mp4"\ndate: 2026-01-02\n---\n\n- 0:07\n'
    )


def test_a_withheld_recording_stays_withheld() -> None:
    front = "---\nrecordings:\n- withheld-0a1b2c3d-1\n---\n"
    assert moved(front) == front


def test_a_draft_of_the_whole_recording_stays_as_it_is() -> None:
    whole = cut((0, 100, 0))
    rows = "".join(f"- said at {clock(u.start)}\n" for u in LINES)
    draft = f"{rows}\n{definitions(notes().reading.utterances)}\n"
    assert draft_of_cut(draft, notes(), whole, heard_in(whole, LINES)) == draft
