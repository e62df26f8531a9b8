"""The chart of families by third: every figure stands in it, nothing hangs on colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from ashdraft.charts import families_by_third, family_words
from hypothesis import given, settings
from hypothesis import strategies as st

SVG = "{http://www.w3.org/2000/svg}"
COUNTS = st.tuples(*[st.integers(0, 60)] * 3)
ROWS = st.dictionaries(st.sampled_from(["wood", "nut", "coffee-and-tea", "drink"]), COUNTS)


def texts(svg: str) -> list[str]:
    """The words and figures a reader sees, in order."""
    return [e.text or "" for e in ElementTree.fromstring(svg).iter(f"{SVG}text")]


@settings(max_examples=60, deadline=None)
@given(ROWS, st.sampled_from([320, 460, 700]))
def test_families_every_figure_is_printed_and_described(
    rows: dict[str, tuple[int, int, int]], width: int
) -> None:
    svg = families_by_third(rows, width=width)
    root = ElementTree.fromstring(svg)
    figures = sorted(int(t) for t in texts(svg) if t.isdigit())
    assert figures == sorted(n for counts in rows.values() for n in counts if n)
    described = root.findtext(f"{SVG}desc") or ""
    for family, counts in rows.items():
        words = f"{family_words(family)}: {sum(counts)} note"
        assert (words in described) == any(counts)


@settings(max_examples=60, deadline=None)
@given(ROWS, st.sampled_from([320, 460, 700]))
def test_families_bars_stay_in_their_columns(
    rows: dict[str, tuple[int, int, int]], width: int
) -> None:
    root = ElementTree.fromstring(families_by_third(rows, width=width))
    for bar in root.findall(f"{SVG}rect"):
        assert float(bar.get("x", "nan")) > 0
        assert float(bar.get("x", "nan")) + float(bar.get("width", "nan")) <= width


def test_families_thirds_differ_without_colour() -> None:
    svg = families_by_third({"wood": (1, 1, 1)})
    fills = re.findall(r'fill="(url[^"]+)"', svg)
    assert len(set(fills)) == 3
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', svg)) - set(fills)
    assert colours == {"currentColor"}


def test_families_can_be_read_aloud() -> None:
    """WAI-ARIA Graphics / SVG-AAM: role img, named by title, described by desc."""
    root = ElementTree.fromstring(families_by_third({"nut": (2, 0, 1)}, name="pool"))
    assert root.get("role") == "img"
    named = (root.get("aria-labelledby") or "").split()
    ids = {e.get("id"): e.text for e in root}
    assert [ids[i] for i in named] == [
        "Families of notes by third",
        "nut: 3 notes (first third 2, final third 1).",
    ]


def test_families_two_charts_on_one_page_share_no_id() -> None:
    one, two = (families_by_third({"nut": (1, 0, 0)}, name=n) for n in ("one", "two"))
    ids = [re.findall(r'\bid="([^"]+)"', svg) for svg in (one, two)]
    assert ids[0]
    assert not set(ids[0]) & set(ids[1])


def test_families_unit_is_that_of_the_caller() -> None:
    svg = families_by_third({"nut": (1, 0, 0), "wood": (2, 0, 0)}, unit=("stick", "sticks"))
    assert "nut: 1 stick (first third 1)" in svg
    assert "wood: 2 sticks" in svg


def test_families_without_notes_says_so() -> None:
    assert "No notes were named in any third." in texts(families_by_third({"nut": (0, 0, 0)}))


def test_families_hostile_name_is_text() -> None:
    svg = families_by_third({'<script>"&\x00': (1, 0, 0)}, title="</title><script>")
    root = ElementTree.fromstring(svg)
    assert not root.findall(f".//{SVG}script")
    assert any("<script>" in t for t in texts(svg))


def test_families_negative_number_is_refused() -> None:
    with pytest.raises(ValueError, match="less than no times"):
        families_by_third({"nut": (1, -1, 0)})
