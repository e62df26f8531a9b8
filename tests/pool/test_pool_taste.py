"""In how many sticks, and in which thirds, a note was named."""

from __future__ import annotations

from ashdraft.pool.taste import BEFORE, taste

from .build import note, stick

PEPPER = {"family": "pepper-and-heat"}


def test_a_note_counts_sticks_and_not_mentions() -> None:
    found = taste([stick(1, notes=[note("cedar"), note("cedar", 2)]), stick(2), stick(3)])
    (cedar,) = found.notes
    assert (cedar.sticks, cedar.of) == ((1,), 3)
    assert [cedar.at(third) for third in (1, 2, 3)] == [(1,), (1,), ()]
    assert cedar.one_off
    assert not cedar.in_most


def test_most_is_more_than_half_and_never_one() -> None:
    def most(*have: bool) -> bool:
        sticks = [stick(n, notes=[note("cedar")] if h else []) for n, h in enumerate(have, 1)]
        return taste(sticks).notes[0].in_most

    assert most(True, True, False)
    assert not most(True, True, False, False)
    assert most(True, True)
    assert not most(True)
    assert not most(True, False)


def test_a_kind_of_pepper_is_pepper_only_where_pepper_was_named() -> None:
    black, white = note("black pepper", **PEPPER), note("white pepper", **PEPPER)
    apart = taste([stick(1, notes=[black]), stick(2, notes=[white])])
    assert [n.term for n in apart.notes] == ["black pepper", "white pepper"]
    together = taste([*(stick(n, notes=[d]) for n, d in enumerate((black, white), 1)),
                      stick(3, notes=[note("pepper", **PEPPER)])])  # fmt: skip
    (pepper,) = together.notes
    assert (pepper.term, pepper.sticks) == ("pepper", (1, 2, 3))
    assert pepper.terms == ("black pepper", "pepper", "white pepper")


def test_words_that_end_alike_in_two_families_stay_apart() -> None:
    found = taste([stick(1, notes=[note("wood"), note("burnt wood", family="smoke-and-char")])])
    assert {n.term for n in found.notes} == {"wood", "burnt wood"}


def test_before_lighting_is_no_third() -> None:
    found = taste([stick(1, notes=[note("hay", None, source="foot", section="pre-light")])])
    assert found.notes[0].at(BEFORE) == (1,)
    assert found.families_by_third() == {"wood": (0, 0, 0)}


def test_what_is_said_not_to_be_there_is_not_counted_as_there() -> None:
    found = taste([stick(1, notes=[note("cedar", polarity="absent")]), stick(2)])
    assert found.notes == ()
    assert [n.term for n in found.denied] == ["cedar"]


def test_families_count_sticks_once() -> None:
    found = taste([
        stick(1, notes=[note("cedar"), note("oak")]),
        stick(2, notes=[note("oak", 3), note("hay", 3, family="grass-and-hay")]),
    ])  # fmt: skip
    assert found.families_by_third() == {"wood": (1, 0, 1), "grass-and-hay": (0, 0, 1)}


def test_changes_compare_only_sticks_that_speak_of_both_thirds() -> None:
    found = taste([
        stick(1, notes=[note("cedar"), note("cocoa", 3)]),
        stick(2, notes=[note("cedar"), note("cedar", 3)]),
        stick(3, notes=[note("cedar"), note("cocoa", 3), note("cedar", 3, polarity="absent")]),
        stick(4, notes=[note("cedar")]),
    ])  # fmt: skip
    rows = {row.term: row for row in found.changes}
    cedar, cocoa = rows["cedar"], rows["cocoa"]
    assert (cedar.came, cedar.held, cedar.gone, cedar.left, cedar.of) == ((), (2,), (3,), (1,), 3)
    assert (cocoa.came, cocoa.held, cocoa.left) == ((1, 3), (), ())
