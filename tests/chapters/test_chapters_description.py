"""Description chapters by YouTube Help, Video chapters (answer 9884579)."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from ashdraft.chapters import Description, Entry, description, on_video
from hypothesis import given, settings
from hypothesis import strategies as st


def chapter(start: float, title: str) -> Entry:
    return Entry(int(start * 1000 + 0.5), title)


def made_of(chapters: list[Entry], duration: float) -> Description:
    return description(on_video(chapters, 0, int(duration * 1000 + 0.5)))


def rows(text: str) -> list[tuple[int, str]]:
    """Read the lines as the rule writes them: M:SS, MM:SS or H:MM:SS, a space, the title."""
    found = []
    for line in text.splitlines():
        match = re.fullmatch(r"(?:(\d+):(?=\d\d:))?(\d{1,2}):([0-5]\d) (\S.*)", line)
        assert match, line
        hours, minutes, seconds = (int(g or 0) for g in match.group(1, 2, 3))
        found.append((hours * 3600 + minutes * 60 + seconds, match.group(4)))
    return found


@settings(deadline=None)
@given(
    st.lists(st.builds(chapter, st.floats(0, 9000), st.text(max_size=120)), max_size=30),
    st.floats(0, 9000),
)
def test_chapters_keep_every_rule_or_say_why_not(chapters: list[Entry], more: float) -> None:
    duration = max([c.start / 1000 for c in chapters], default=0.0) + more
    made = made_of(chapters, duration)
    if made.problem:
        assert made.text.startswith(made.problem)
        return
    found = rows(made.text)
    starts = [start for start, _ in found]
    assert starts[0] == 0
    assert len(found) >= 3
    assert all(b - a >= 10 for a, b in pairwise(starts))
    assert duration - starts[-1] >= 10
    assert all(len(title) <= 49 and not set("<>") & set(title) for _, title in found)


def test_chapters_of_a_narration() -> None:
    made = made_of(
        [
            chapter(2.4, "Hello"),
            chapter(9.99, "Setup"),
            chapter(65.2, "Pre-light"),
            chapter(3725.9, "Verdict"),
        ],
        3800.0,
    )
    assert made.problem is None
    assert made.text == "0:00 Hello / Setup\n1:05 Pre-light\n1:02:05 Verdict\n"


def test_ten_seconds_are_counted_after_flooring() -> None:
    """10.9 to 20.2 floors to 10 and 20, which is enough; 10.0 to 19.9 is not."""
    ends = [chapter(0, "A"), chapter(40, "C"), chapter(60, "D")]
    enough = made_of([*ends, chapter(10.9, "B1"), chapter(20.2, "B2")], 90)
    short = made_of([*ends, chapter(10.0, "B1"), chapter(19.9, "B2")], 90)
    assert [start for start, _ in rows(enough.text)] == [0, 10, 20, 40, 60]
    assert [start for start, _ in rows(short.text)] == [0, 10, 40, 60]
    assert "0:10 B1 / B2\n" in short.text


def test_last_chapter_runs_to_the_end_of_the_video() -> None:
    made = made_of([chapter(s, f"T{s}") for s in (0, 20, 40, 60)], 69.9)
    assert rows(made.text)[-1] == (40, "T40 / T60")


def test_long_title_is_cut_at_a_word() -> None:
    long = "Second third: tamarind, espresso, salted caramel and roasted chestnut"
    made = made_of([chapter(0, "A"), chapter(30, long), chapter(60, "B")], 90)
    title = rows(made.text)[1][1]
    assert title == "Second third: tamarind, espresso, salted caramel…"


def test_description_of_many_chapters_fits() -> None:
    """At most 5,000 bytes (documentation of the platform's programming interface)."""
    long = [chapter(i * 15.0 + i % 2, f"Chapter number {i} é") for i in range(300)]
    made = made_of(long, 4600.0)
    starts = [start for start, _ in rows(made.text)]
    assert 4_900 < len(made.text.encode()) <= 5_000
    assert starts[0] == 0
    assert all(b - a >= 10 for a, b in pairwise(starts))


@pytest.mark.parametrize("starts", [[], [0.0], [0.0, 30.0], [0.0, 3.0, 6.0]])
def test_too_few_chapters_are_told_in_words(starts: list[float]) -> None:
    made = made_of([chapter(s, "Burn") for s in starts], 120.0)
    assert made.problem
    assert "at least 3" in made.problem
    assert made.text.count("Burn, from ") == len(starts)
    assert not re.search(r"^\d+:\d\d ", made.text, re.M)
