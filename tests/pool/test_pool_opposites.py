"""Contradictions between sticks: found where both sides were said, and nowhere else."""

from __future__ import annotations

import pytest
from ashdraft.errors import DataDamaged
from ashdraft.pool import opposites as module
from ashdraft.pool.opposites import Contradiction, contradictions, opposites
from ashdraft.pool.sticks import Stick
from ashdraft.pool.taste import taste

from .build import note, stick

Said = tuple[str, int | None, str]


def found(*sticks: Stick) -> tuple[Contradiction, ...]:
    return contradictions(sticks, taste(sticks))


def about(*said: Said | list[Said]) -> list[str]:
    rows = [row if isinstance(row, list) else [row] for row in said]
    return [c.id for c in found(*(stick(n, said=row) for n, row in enumerate(rows, 1)))]


TIGHT: Said = ("burn", 1, "The draw is tight.")
OPEN: Said = ("burn", 1, "The draw's wide open, and easy.")


def test_tight_in_one_and_open_in_another() -> None:
    (one,) = found(stick(1, said=[TIGHT]), stick(2, said=[("palate", 1, "Hm."), OPEN]))
    assert (one.id, one.about) == ("draw", "the draw")
    (tight, first), (wide, second) = one.sides
    assert (tight, [r.stick for r in first]) == ("tight", [1])
    assert (wide, [r.stick for r in second]) == ("open", [2])
    assert (second[0].quote, second[0].start, second[0].place) == (OPEN[2], 60.0, 1)


def test_one_stick_never_contradicts_itself() -> None:
    assert about([TIGHT, OPEN], ("burn", 1, "Lovely.")) == []
    assert about([TIGHT, OPEN], OPEN) == []


def test_a_stick_of_both_minds_does_not_hide_the_others() -> None:
    assert about([TIGHT, OPEN], OPEN, TIGHT) == ["draw"]


@pytest.mark.parametrize(
    "text",
    [
        "The draw is not tight.",
        "The draw was never tight at all.",
        "The draw is tighter than on the first one, where it was open.",
        "The last one had a tight draw.",
        "It's packed tight.",
        "The draw is fine, the burn a bit tight.",
        "If you like a tight draw, fine.",
    ],
)
def test_what_is_denied_or_of_another_stick_or_thing_is_no_side(text: str) -> None:
    assert about(("burn", 1, text), OPEN) == []


def test_thirds_that_differ_are_a_development() -> None:
    assert about(TIGHT, ("burn", 3, "The draw is open.")) == []
    assert about(TIGHT, ("burn", None, "The draw is open.")) == ["draw"]


def test_the_longer_phrase_is_what_counts() -> None:
    assert about(
        ("appearance", None, "Hardly any oil on the wrapper."),
        ("appearance", None, "There is a good sheen on the wrapper."),
    ) == ["sheen"]
    assert about(
        ("verdict", None, "It's not worth the money."), ("verdict", None, "It's worth the money.")
    ) == ["value"]


def test_the_section_is_asked_for() -> None:
    assert about(("setup", None, "The draw is tight."), OPEN) == []


def test_a_note_there_and_not_there_in_one_third() -> None:
    there, gone = note("cocoa", 2), note("cocoa", 2, polarity="absent")
    (one,) = found(stick(1, notes=[there]), stick(2, notes=[gone]))
    assert (one.id, [name for name, _ in one.sides]) == (
        "note:cocoa", ["there", "said not to be there"],
    )  # fmt: skip
    later = note("cocoa", 3, polarity="absent")
    assert found(stick(1, notes=[there]), stick(2, notes=[later])) == ()


def test_no_pepper_contradicts_black_pepper_and_not_the_other_way() -> None:
    wide, narrow = note("pepper", polarity="absent"), note("black pepper")
    assert len(found(stick(1, notes=[narrow]), stick(2, notes=[wide]))) == 1
    wide, narrow = note("pepper"), note("black pepper", polarity="absent")
    assert found(stick(1, notes=[wide]), stick(2, notes=[narrow])) == ()


def test_before_lighting_says_nothing_of_the_smoke() -> None:
    cold = note("cocoa", None, source="foot", section="pre-light")
    gone = note("cocoa", None, polarity="absent")
    assert found(stick(1, notes=[cold]), stick(2, notes=[gone])) == ()


def test_every_pair_of_the_file_is_found_by_its_own_words() -> None:
    """Each word of a side shows that side, and never the other one."""
    for pair in opposites():
        for side in (0, 1):
            name = pair.sides[side].name
            raw = next(p for p in module._raw()["pair"] if p["id"] == pair.id)
            (words,) = [s["words"] for s in raw["sides"] if s["name"] == name]
            subject = raw.get("subject", ["it"])[0]
            for word in words:
                row = stick(said=[(pair.sections[0], None, f"The {subject}, {word}.")])
                assert list(module._remarks(row, pair, side)), (pair.id, word)
                assert not list(module._remarks(row, pair, 1 - side)), (pair.id, word)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"sides": []}, "two sides"),
        ({"sections": ["ember"]}, "sections"),
        ({"third": True}, "third"),
        ({"subject": "draw"}, "subject"),
        ({"sides": [{"name": "a", "words": ["x"]}, {"name": "b", "words": ["x"]}]}, "both sides"),
    ],
)
def test_a_mistake_in_the_file_is_named(change: dict[str, object], says: str) -> None:
    good = {
        "id": "draw", "about": "the draw", "sections": ["burn"],
        "sides": [{"name": "a", "words": ["x"]}, {"name": "b", "words": ["y"]}],
    }  # fmt: skip
    module._pair(good)
    with pytest.raises(DataDamaged, match=says):
        module._pair(good | change)
