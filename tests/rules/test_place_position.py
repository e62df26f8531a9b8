"""Measured places in the stick, and names of thirds that a recogniser cut in two."""

from __future__ import annotations

import pytest
from ashdraft.model import Said
from ashdraft.rules.nlp import analyse
from ashdraft.rules.place import place
from ashdraft.rules.place.cuts import across_cuts
from ashdraft.rules.place.position import positions


def _said(*texts: str) -> tuple[Said, ...]:
    return tuple(Said(i, i * 6.0, i * 6.0 + 4, t, t, t) for i, t in enumerate(texts))


@pytest.mark.parametrize(
    ("size", "spoken", "third"),
    [
        ("It's six inches by fifty.", "Two inches gone and no trouble.", 2),
        ("It's a seven by thirty-eight.", "Two inches gone and no trouble.", 1),
        ("It's four and a half by fifty.", "There's an inch and a quarter left.", 3),
        ("It's six by sixty.", "Three and a half inches to go.", 2),
        ("It's six by sixty.", "I have it down to an inch.", 3),
        ("Length seven and a half, ring forty-nine.", "Two inches in.", 1),
        ("A robusto, five inches by fifty.", "The middle two inches were the best.", 2),
        ("A robusto, five inches by fifty.", "It got hot in the last three centimetres.", 3),
        ("The length is 140 millimetres.", "Twenty millimetres smoked.", 1),
        ("It's seven by fifty.", "By the second inch there was leather.", 1),
        ("It's seven by fifty.", "By the fourth inch there was leather.", 2),
        ("It ran ninety minutes in all.", "Forty minutes in, the coffee came.", 2),
        ("It ran ninety minutes in all.", "The last fifteen minutes were hot.", 3),
        ("It ran ninety minutes in all.", "Half an hour in it was all cream.", 2),
        ("It ran two hours.", "Half an hour in it was all cream.", 1),
    ],
)
def test_a_measure_is_set_against_the_stick(size: str, spoken: str, third: int) -> None:
    assert positions(analyse(_said(size, spoken))).get(1) == third


@pytest.mark.parametrize(
    "spoken",
    [
        "The ash held for an inch and a half.",
        "I cut two millimetres off the cap.",
        "It rested forty minutes before I lit it.",
        "He lives two inches from the road, he says.",
        "Seven inches to go round the table is what I bought.",
    ],
)
def test_other_measures_say_no_third(spoken: str) -> None:
    assert not positions(analyse(_said("It's six by fifty.", spoken)))


@pytest.mark.parametrize(
    ("before", "after", "cue"),
    [
        ("okay so that is us into the second", "third and it's gone creamy", "third.2.named"),
        ("and now we come to the last", "third of the thing", "third.3.named"),
        ("so that is pretty much half of it", "gone and the middle was cream", "third.2.place"),
    ],
)
def test_a_name_cut_in_two_counts_for_the_line_it_ends_in(
    before: str, after: str, cue: str
) -> None:
    first, second = across_cuts(analyse(_said(before, after)))
    assert not first.has("third.2.named")
    assert second.has(cue)


def test_a_full_stop_keeps_two_lines_apart() -> None:
    _, second = across_cuts(analyse(_said("I smoked the second.", "Third, I ask my wife.")))
    assert not second.has("third.2.named")


def test_a_measured_third_is_told_from_the_one_before() -> None:
    placed = place(
        analyse(
            _said(
                "It's a toro, six by fifty, made in Honduras.",
                "I paid nine dollars for it, and it rested for two months.",
                "It lit easily, and on the palate there was hay and pepper to begin with.",
                "Hay, and a bit of cream on the finish.",
                "In the middle two inches I had walnut and coffee on the palate.",
                "Walnut more than coffee, and some leather on the finish.",
                "With an inch and a half left there was dark chocolate, and lots of it.",
                "Dark chocolate, and treacle on the finish.",
            )
        ),
        "narration",
    )
    assert [p.third for p in placed[2:]] == [1, 1, 2, 2, 3, 3]
