"""How the notes changed from the third before: only what was said is compared."""

from __future__ import annotations

from ashdraft.model import Descriptor
from ashdraft.sheet.notes import Changes, changes
from hypothesis import given, settings
from hypothesis import strategies as st

from .made import note, reading


def changed(*notes: Descriptor, third: int = 2) -> Changes:
    return changes(reading(descriptors=tuple(notes)), third)


def test_changes_new_and_not_mentioned_again() -> None:
    assert changed(note("hay", 1), note("cedar", 2)) == Changes(
        new=("cedar",), unmentioned=("hay",)
    )


def test_changes_gone_needs_to_be_said() -> None:
    found = changed(note("hay", 1), note("hay", 2, polarity="absent"))
    assert found == Changes(gone=("hay",))


def test_changes_strength() -> None:
    found = changed(
        note("hay", 1, intensity="strong"), note("hay", 2, intensity="faint"),
        note("oak", 1, intensity="faint"), note("oak", 2), note("rye", 1), note("rye", 2),
    )  # fmt: skip
    assert (found.fainter, found.stronger, found.still) == (("hay",), ("oak",), ("rye",))


def test_changes_longer_and_shorter_names_are_one_note() -> None:
    found = changed(note("black pepper", 1, intensity="strong"), note("pepper", 2))
    assert found == Changes(fainter=("pepper",))


def test_changes_back_after_a_third_without() -> None:
    found = changed(note("hay", 1), note("oak", 2), note("hay", 3), third=3)
    assert found == Changes(back=("hay",), unmentioned=("oak",))


TERMS = st.sampled_from(["hay", "oak", "pepper", "black pepper", "rye"])


@settings(deadline=None)
@given(st.lists(st.tuples(TERMS, st.sampled_from([1, 2, 3]), st.booleans()), max_size=12))
def test_changes_account_for_every_note_of_the_third(
    said: list[tuple[str, int, bool]],
) -> None:
    notes = [note(t, n, polarity="present" if p else "absent") for t, n, p in said]
    for third in (2, 3):
        found = changed(*notes, third=third)
        here = {t for t, n, p in said if p and n == third}
        rows = (found.new, found.back, found.stronger, found.fainter, found.still)
        assert sorted(t for row in rows for t in row) == sorted(here)
        assert not here & {*found.gone, *found.unmentioned}
