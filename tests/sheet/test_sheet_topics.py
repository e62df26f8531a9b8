"""Topics: said, said not to be there, or not mentioned."""

from __future__ import annotations

import pytest
from ashdraft.sheet.topics import Status, announces, mentioned, spoken, topics

from .made import note, reading, said


@pytest.mark.parametrize(
    ("topic", "text", "status"),
    [
        ("veins", "Two veins, thin.", "said"),
        ("veins", "No veins to speak of.", "absent"),
        ("veins", "The cap is neat.", "silent"),
        ("soft-spots", "No soft spots.", "absent"),
        ("soft-spots", "No soft spots, bar one by the foot.", "said"),
        ("soft-spots", "One soft spot near the band.", "said"),
        ("soft-spots", "Soft spots, none.", "absent"),
        ("soft-spots", "It isn't a soft spot.", "absent"),
        ("sheen", "There's no oil on it.", "absent"),
        ("sheen", "Oily, like a cat after rain.", "said"),
        ("heat", "It never got hot.", "absent"),
        ("heat", "It's not hot, not yet.", "absent"),
        ("heat", "Too hot to hold.", "said"),
        ("ash", "No ash yet.", "said"),
        ("burn-line", "Touched-up again.", "said"),
        ("burn-line", "It burned in a straight line.", "said"),
        ("draw", "The drawer is stuck.", "silent"),
        ("band", "The band's off.", "said"),
        ("band", "The bandstand is empty.", "silent"),
    ],
)
def test_topics_mentioned(topic: str, text: str, status: Status) -> None:
    assert mentioned(topics()[topic], said(0, text)) == status


def test_topics_spoken_by_a_tasting_note() -> None:
    nose = topics()["nose"]
    made = reading([said(0, "Rye bread up there.", third=1)],
                   descriptors=(note("rye bread", 1, source="retrohale"),))  # fmt: skip
    assert spoken(nose, made, 1).status == "said"
    assert spoken(nose, made, 2).status == "silent"


def test_topics_only_in_their_own_section() -> None:
    ash = topics()["ash"]
    assert spoken(ash, reading([said(0, "Cold ash on the foot.", "pre-light")])).status == "silent"
    assert spoken(ash, reading([said(0, "Ash holds.", "burn", 1)])).status == "said"


def test_topics_said_once_outweighs_said_not() -> None:
    veins = topics()["veins"]
    made = reading([said(0, "No veins.", "appearance"), said(1, "Oh, one vein.", "appearance")])
    assert spoken(veins, made).status == "said"


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("Second third.", True),
        ("And the final third.", True),
        ("Number two, looks.", True),
        ("Number four, the palate, starting with the first third.", True),
        ("Looks, three.", False),
        ("Burn, seven.", False),
        ("Halfway.", False),
        ("Second third, the main course, please.", False),
        ("", False),
    ],
)
def test_topics_announcement(text: str, answer: bool) -> None:
    assert announces(text) is answer
