"""The list that a reviewer edits."""

from __future__ import annotations

import pytest
from ashdraft.chapters import Entry, from_text, to_text
from ashdraft.chapters.entry import clean
from ashdraft.errors import DataDamaged
from ashdraft.export.clock import read_time, signed_time
from hypothesis import given, settings
from hypothesis import strategies as st

titles = st.text(st.characters(exclude_categories=["Cs"]), max_size=40).map(clean)
entries = st.dictionaries(st.integers(-(10**7), 3 * 10**8), titles, max_size=20).map(
    lambda found: tuple(Entry(start, found[start]) for start in sorted(found))
)


@settings(max_examples=50, deadline=None)
@given(entries)
def test_list_comes_back(found: tuple[Entry, ...]) -> None:
    assert from_text(to_text(found)) == found


@settings(max_examples=50, deadline=None)
@given(entries, st.randoms())
def test_order_line_ends_and_blank_lines_do_not_matter(
    found: tuple[Entry, ...], random: object
) -> None:
    lines = to_text(found).splitlines()
    random.shuffle(lines)  # type: ignore[attr-defined]
    assert from_text("\N{BYTE ORDER MARK}" + "\r\n \r\n".join(lines)) == found


@settings(max_examples=50, deadline=None)
@given(st.integers(-(10**9), 10**9))
def test_times_come_back(ms: int) -> None:
    assert read_time(signed_time(ms)) == ms


@pytest.mark.parametrize(
    ("text", "ms"),
    [
        ("0:00", 0),
        ("12:34", 754_000),
        ("75:00", 4_500_000),
        ("1:02:03.5", 3_723_500),
        ("00:01:12", 72_000),
        ("-0:30", -30_000),
        ("12:34,567", 754_567),
        ("0:59.9996", 60_000),
        ("754.2", 754_200),
    ],
)
def test_times_as_people_type_them(text: str, ms: int) -> None:
    assert read_time(text) == ms


@pytest.mark.parametrize(
    "text", ["", "1:2", "1:60", "1:60:00", "1:2:3:4", "a:10", "1:-2", "--1:00", "١:٠٠", "5."]
)
def test_what_is_no_time(text: str) -> None:
    with pytest.raises(ValueError, match="no time"):
        read_time(text)


def test_rename_drop_add_and_move() -> None:
    made = to_text([Entry(0, "Welcome"), Entry(61_500, "Burn"), Entry(90_000, "Verdict")])
    edited = made.replace("Welcome", "Hello there").replace("1:30.000", "1:35")
    edited = edited.replace("1:01.500 Burn\n", "") + "-0:20\tTitles\n0:45   The   cut\n"
    assert from_text(edited) == (
        Entry(-20_000, "Titles"),
        Entry(0, "Hello there"),
        Entry(45_000, "The cut"),
        Entry(95_000, "Verdict"),
    )


def test_every_mistake_is_named_with_its_line() -> None:
    text = "# head\n0:00 A\n\nnonsense\n0:30\n0:00 B\n200:00:00 far\n12 Years\n1:75 C\n0:99 D\n"
    with pytest.raises(DataDamaged) as fault:
        from_text(text)
    message = fault.value.message
    assert "line 4 does not begin with a time" in message
    assert "line 5 has no title" in message
    assert "line 6 has the same time as line 2" in message
    assert "line 7 is beyond 100 hours" in message
    assert "line 8 does not begin" in message
    assert "and 2 more" in message
    assert "nonsense" not in message  # nobody's words in messages


def test_empty_list_holds_nothing() -> None:
    assert from_text("") == from_text(to_text([])) == ()
