"""Finding: each search against a plain look through the same notes in Python."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from ashdraft.archive import Range, Search, add, find, parse_day, parse_range, show_cigar
from ashdraft.archive.matching import full_text, matcher, name_key
from ashdraft.errors import InputMissing, UsageError
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.archive.made import document, entry

NUMBERS = range(60)
NOTES = {n + 1: document(n) for n in NUMBERS}
"""By session number: the first session of an archive is 1."""


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("archive") / "a.sqlite"
    add(path, (entry(n) for n in NUMBERS))
    return path


def noted(fits: Callable[[dict[str, Any]], bool]) -> Callable[[dict[str, Any]], bool]:
    return lambda notes: any(fits(d) for d in notes["descriptors"])


def said(fits: Callable[[list[str], int], bool]) -> Callable[[dict[str, Any]], bool]:
    return lambda notes: any(fits(u["said"].split(), u["third"]) for u in notes["utterances"])


def there(d: dict[str, Any]) -> bool:
    return bool(d["polarity"] == "present")


CASES: list[tuple[Search, Callable[[dict[str, Any]], bool]]] = [
    (Search(notes=("Old Cedar",), third=3),
     noted(lambda d: there(d) and d["term"] == "old cedar" and d["third"] == 3)),
    (Search(notes=("pep*", "cedar")),
     lambda n: noted(lambda d: there(d) and "pepper" in d["term"])(n)
     and noted(lambda d: there(d) and "cedar" in d["term"])(n)),
    (Search(notes=("honey",), polarity="absent"),
     noted(lambda d: not there(d) and d["term"] == "honey")),
    (Search(notes=("honey",), polarity=None, third=1),
     noted(lambda d: d["term"] == "honey" and d["third"] == 1)),
    (Search(family="wood", source="retrohale", third=2),
     noted(lambda d: there(d) and (d["family"], d["source"], d["third"]) ==
           ("wood", "retrohale", 2))),
    (Search(family="Sugar", third=3),
     noted(lambda d: there(d) and d["family"] == "sugar-and-caramel" and d["third"] == 3)),
    (Search(wrapper="SAN andres"), lambda n: n["facts"]["wrapper"] == "San Andrés"),
    (Search(origin="republic"), lambda n: "Republic" in n["facts"]["country"]),
    (Search(format="corona gorda"), lambda n: n["facts"]["format"] == "corona gorda"),
    (Search(price=Range(5, 9)), lambda n: 5 <= n["facts"]["price"] <= 9),
    (Search(price=Range(5, 9, "USD")), lambda n: False),
    (Search(total=Range(highest=4.5)), lambda n: n["sheet"]["total"] <= 4.5),
    (Search(marks=(("Burn line", Range(7, 8)),)),
     lambda n: 7 <= n["sheet"]["rows"][0]["mark"] <= 8),
    (Search(marks=(("palate", Range(7)),)), lambda n: n["sheet"]["sections"][1]["total"] >= 7),
    (Search(said_marks=(("draw", Range(3, 3)),)), lambda n: n["marks"][0]["value"] == 3),
    (Search(text='"late rain"'),
     said(lambda w, t: any(p == ("late", "rain") for p in pairwise(w)))),
    (Search(text="rain late", third=2), said(lambda w, t: t == 2 and {"late", "rain"} <= {*w})),
    (Search(text="bri* late"), said(lambda w, t: False)),
    (Search(text="RAI*"), said(lambda w, t: "rain" in w)),
    (Search(since="2018", until="2018-06"),
     lambda n: "2018-01" <= n["recordings"][0]["recorded_at"][:7] <= "2018-06"),
    (Search(sheet="table"), lambda n: True),
    (Search(sheet="chair"), lambda n: False),
    (Search(notes=("hay",), wrapper="habano", total=Range(4)),
     lambda n: noted(lambda d: there(d) and d["term"] == "hay")(n)
     and n["facts"]["wrapper"] == "Habano" and n["sheet"]["total"] >= 4),
]  # fmt: skip


@pytest.mark.parametrize(("search", "fits"), CASES, ids=lambda v: "")
def test_find_gives_what_a_plain_look_gives(
    archive: Path, search: Search, fits: Callable[[dict[str, Any]], bool]
) -> None:
    found, number = find(archive, search, None)
    assert {f.session.id for f in found} == {s for s, notes in NOTES.items() if fits(notes)}
    assert number == len(found)


def test_most_cases_find_some_and_not_all_sessions() -> None:
    parted = [0 < sum(map(fits, NOTES.values())) < len(NOTES) for _, fits in CASES]
    assert sum(parted) >= 17


def test_newest_first_and_limited(archive: Path) -> None:
    found, number = find(archive, Search(sheet="table"), 7)
    days = [f.session.day or "" for f in found]
    assert (len(found), number) == (7, len(NOTES))
    assert days == sorted(days, reverse=True)


def test_hits_show_where(archive: Path) -> None:
    found, _ = find(archive, Search(notes=("hay",), text="rain", third=3), None)
    for one in found:
        starts = {u["start"] for u in NOTES[one.session.id]["utterances"] if u["third"] == 3}
        assert {h.start for h in one.hits} <= starts
        assert any(h.what.startswith("hay, third 3: ") for h in one.hits)
        assert any("rain" in h.what.lower() for h in one.hits)
    assert found


def test_prices_in_several_currencies_need_one(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    facts = {"price": 6.0, "currency": "USD"}
    add(path, [entry(1), entry(2, facts=facts), entry(3, facts={"price": 6.0})])
    with pytest.raises(UsageError, match="EUR, USD"):
        find(path, Search(price=Range(5, 7)))
    found, _ = find(path, Search(price=Range(5, 7, "USD")))
    assert [f.session.id for f in found] == [2]


@settings(max_examples=50, deadline=None)
@given(st.text())
def test_no_query_is_a_mistake_of_syntax(query: str) -> None:
    """SQLite itself is asked (FTS5, unicode61)."""
    try:
        match = full_text(query)
    except UsageError:
        assert not any(c.isalnum() for c in query)
        return
    with sqlite3.connect(":memory:") as connection:
        connection.execute("CREATE VIRTUAL TABLE w USING fts5 (t)")
        connection.execute("SELECT * FROM w WHERE w MATCH ?", [match]).fetchall()
    connection.close()


OPERATORS = st.lists(
    st.sampled_from(['"', "*", "^", "(", ")", "+", "-", ":", "NEAR", "AND", "OR", "NOT", "{", "}",
                     "said", "cedar", ",", "'", "\0", "\\", "é", "́", " "])
)  # fmt: skip


@settings(max_examples=50, deadline=None)
@given(OPERATORS.map("".join) | OPERATORS.map(" ".join))
def test_operators_are_words_or_nothing(query: str) -> None:
    test_no_query_is_a_mistake_of_syntax.hypothesis.inner_test(query)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("query", "fts"),
    [
        ("tight draw", '"tight" AND "draw"'),
        ('"tight draw" relit*', '"tight draw" AND "relit"*'),
        ('say "open', '"say" AND "open"'),
        ("don't", '"don t"'),
        ("text:NEAR(a b)", '"text NEAR a" AND "b"'),
        ("- smoke -", '"smoke"'),
    ],
)
def test_full_text_query(query: str, fts: str) -> None:
    assert full_text(query) == fts


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Lantern No. 3", "lantern  no3"),
        ("LANTERN NO.3", "Lantern No. 3 "),
        ("Señora Nº 2", "senora no 2"),
        ("Straße", "STRASSE"),
    ],
)
def test_spellings_of_one_name(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


def test_names_that_differ_stay_apart() -> None:
    assert len({name_key(n) for n in ("Lantern No. 3", "Lantern No. 31", "Lantern", "")}) == 4


def test_matcher_takes_words_whole() -> None:
    assert matcher("hay")("fresh Hay")
    assert not matcher("hay")("haystack")
    assert matcher("hay*")("haystack")
    assert not matcher("a")(None)
    with pytest.raises(UsageError):
        matcher("*")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("7", Range(7, 7)),
        ("7..9", Range(7, 9)),
        (" 7.5 .. ", Range(7.5)),
        ("..9", Range(highest=9)),
        ("-2..-1", Range(-2, -1)),
        ("5..10 eur", Range(5, 10, "EUR")),
        ("8usd", Range(8, 8, "USD")),
    ],
)
def test_ranges(text: str, wanted: Range) -> None:
    assert parse_range(text, "--price", money=True) == wanted


@pytest.mark.parametrize("text", ["", "..", "9..7", "7-9", "7 9", "x", "7,5", "nan", "inf", "EUR"])
def test_no_ranges(text: str) -> None:
    with pytest.raises(UsageError, match="--total"):
        parse_range(text, "--total", money=True)


def test_only_money_has_a_currency() -> None:
    with pytest.raises(UsageError):
        parse_range("7 EUR", "--total")


@pytest.mark.parametrize("text", ["2026", "2026-05", "2024-02-29"])
def test_days(text: str) -> None:
    assert parse_day(text, "--since") == text


@pytest.mark.parametrize("text", ["", "26", "2026-13", "2026-02-30", "2026-5", "2026-05-02T1"])
def test_no_days(text: str) -> None:
    with pytest.raises(UsageError):
        parse_day(text, "--since")


def test_one_cigar_over_time(tmp_path: Path) -> None:
    path = tmp_path / "a.sqlite"
    add(path, [entry(n) for n in (703, 3, 1403, 4)])
    cigar = show_cigar(path, "LANTERN no3")
    assert [s.title for s in cigar.sessions] == ["Quillon Lantern No. 3"] * 3
    days = [s.day for s in cigar.sessions]
    assert days == sorted(days, key=str)
    wanted: dict[str, set[int]] = {}
    for number in (3, 703, 1403):
        for d in document(number)["descriptors"]:
            if d["polarity"] == "present":
                wanted.setdefault(d["term"], set()).add(number)
    assert {m.term: len(m.thirds) for m in cigar.notes} == {t: len(s) for t, s in wanted.items()}
    sizes = [len(m.thirds) for m in cigar.notes]
    assert sizes == sorted(sizes, reverse=True)
    assert show_cigar(path, "Quillon Lantern No. 3") == cigar
    assert show_cigar(path, "Lantern No. 3", "quillon") == cigar
    for name, maker in (("Lantern No. 3", "Other"), ("Lantern", None), ("...", None)):
        with pytest.raises(InputMissing):
            show_cigar(path, name, maker)
