"""Where sentences go, and how they become paragraphs."""

from __future__ import annotations

from ashdraft.assemble.placing import place
from ashdraft.assemble.prose import prose
from ashdraft.model import Mark, Timing, Utterance

from ..sheet.made import reading, said


def ids(found: tuple[Utterance, ...]) -> list[int]:
    return [u.id for u in found]


def test_place_asides_and_empty_texts_go_nowhere() -> None:
    places = place(reading([said(0, "The dog again.", "aside"), said(1, "Um.", "burn", 1)]))
    assert places.in_order() == ()


def test_place_a_look_back_joins_the_third_it_describes() -> None:
    made = reading([said(0, "Cedar.", third=1), said(1, "Hay.", third=3), said(2, "Oak.", third=1)])
    assert ids(place(made).at("palate", 1)) == [0, 2]


def test_place_disclosure_goes_to_the_front() -> None:
    made = reading([said(0, "It's a robusto.", "setup"), said(1, "They sent me this.", "setup")])
    assert ids(place(made).at("obtained")) == [1]
    assert ids(place(made).at("setup")) == [0]


def test_place_a_price_paid_tells_how_it_was_obtained_where_nothing_else_does() -> None:
    made = reading([said(0, "Six by fifty.", "setup"), said(1, "I paid nine euros.", "setup")])
    assert ids(place(made).at("obtained")) == [1]


def test_place_the_sentence_that_names_the_cigar_stays_and_is_only_quoted() -> None:
    made = reading(
        [said(0, "I bought this Quillmoor.", "setup"), said(1, "Six by fifty.", "setup")]
    )
    assert ids(place(made).at("setup")) == [0, 1]
    assert ids(place(made).disclosing) == [0]


def test_place_hearsay_stays_beside_its_answer() -> None:
    made = reading(
        [
            said(0, "Leather now.", third=2, start=0.0),
            said(1, "Shop fella said cherry.", start=300.0),
            said(2, "Can't find any cherry.", third=2, start=304.0),
        ]
    )
    assert ids(place(made).at("palate", 2)) == [0, 1, 2]


def test_place_that_one_stays_with_the_sentence_before_in_any_section() -> None:
    made = reading(
        [
            said(0, "No grassiness.", third=1, start=0.0),
            said(1, "The one on Sunday was all grass.", start=6.0),
            said(2, "And that one needed four touch-ups.", "burn", start=11.0),
            said(3, "Burning straight.", "burn", 1, start=200.0),
        ]
    )
    assert ids(place(made).at("palate", 1)) == [0, 1, 2]
    assert ids(place(made).at("burn", 1)) == [3]


def test_place_a_sentence_that_only_goes_on_stays_with_the_one_before() -> None:
    made = reading(
        [
            said(0, "The smoke is thick.", third=1, start=0.0),
            said(1, "And there's a lot of it.", "burn", 1, start=5.0),
            said(2, "And it's holding its ash.", "burn", 1, start=10.0),
        ]
    )
    assert ids(place(made).at("palate", 1)) == [0, 1]
    assert ids(place(made).at("burn", 1)) == [2]


def test_place_said_by_itself_while_it_burns_is_loose() -> None:
    made = reading(
        [
            said(0, "Cedar.", third=1, start=0.0),
            said(1, "Uncle always got honey.", start=400.0),
            said(2, "Leather.", third=2, start=900.0),
        ]
    )
    assert ids(place(made).at("loose")) == [1]


def test_place_sums_and_marks_are_about_the_whole() -> None:
    made = reading(
        [
            said(0, "Cedar.", third=3, start=0.0),
            said(1, "Overall, medium bodied.", start=400.0),
            said(2, "Taste, eight.", start=800.0),
            said(3, "Down it goes.", "burn", 3, start=900.0),
            said(4, "An hour and ten.", "burn", start=905.0),
        ],
        timing=Timing(lit=0.0, put_down=900.0),
        marks=(Mark("taste", 8, None, 2),),
    )
    places = place(made)
    assert ids(places.at("palate")) == [1, 2]
    assert ids(places.at("burn")) == [4]
    assert not places.at("loose")


def test_place_announcements_stand_apart() -> None:
    made = reading([said(0, "Second third.", third=2), said(1, "Hay.", third=2)])
    assert ids(place(made).at("announced")) == [0]
    assert ids(place(made).at("palate", 2)) == [1]


def test_prose_is_one_sentence_a_line() -> None:
    assert prose([said(0, "Cedar, um, again."), said(1, "Hay.")]) == "Cedar, again.\nHay."


def test_prose_parts_at_a_silence_after_enough_words() -> None:
    long = "It is a long sentence about the wrapper and the many veins that run on it, " * 3
    rest = "Then there is a good deal more to tell of the seams, of the cap, of the foot, and of "
    row = [said(0, long, start=0.0), said(1, rest + "all the other things too.", start=300.0)]
    assert prose(row).count("\n\n") == 1
    assert prose([row[0], said(1, "Hay.", start=300.0)]).count("\n\n") == 0


def test_prose_joins_what_a_cut_parted() -> None:
    row = [said(0, "corn bread with a bit of"), said(1, "maple syrup on it")]
    assert prose(row) == "Corn bread with a bit of maple syrup on it."


def test_prose_joins_a_clause_that_cannot_begin() -> None:
    row = [said(0, "on the leaf there's no"), said(1, "hay at all")]
    assert prose(row) == "On the leaf there's no hay at all."
    row = [said(0, "it has hay"), said(1, "which is rare")]
    assert prose(row) == "It has hay which is rare."


def test_prose_joins_a_number_and_its_unit() -> None:
    row = [said(0, "the price is thirteen"), said(1, "dollars canadian")]
    assert prose(row) == "The price is thirteen dollars Canadian."


def test_prose_joins_written_halves_and_keeps_the_comma() -> None:
    row = [said(0, "The wrapper is dark,"), said(1, "and the cap is neat.")]
    assert prose(row) == "The wrapper is dark, and the cap is neat."


def test_prose_joins_neither_sentences_nor_strangers() -> None:
    assert prose([said(0, "the cap is neat"), said(1, "the foot is open")]).count("\n") == 1
    assert prose([said(0, "made of"), said(5, "leather")]) == "Made of…\nLeather."
    assert prose([said(0, "made of"), said(1, "Nicaraguan leaf")]) == "Made of…\nNicaraguan leaf."


def test_prose_keeps_the_capital_of_a_name_in_the_middle() -> None:
    row = [said(0, "the filler is from"), said(1, "honduras")]
    assert prose(row) == "The filler is from Honduras."
