"""Parts of the draft made by hand, and one whole small draft to read (fixtures/small.md)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import yaml
from ashdraft.assemble import draft, read_times
from ashdraft.assemble.markdown import one_line
from ashdraft.model import (
    Check,
    Count,
    Event,
    MadeBy,
    Mark,
    Notes,
    Reading,
    Recording,
    Repair,
    Timing,
    Utterance,
)
from ashdraft.sheet import fill, load_sheet
from hypothesis import given, settings
from hypothesis import strategies as st

from ..sheet.made import note, reading, said

SMALL = Path(__file__).parent / "fixtures" / "small.md"


def notes(made: Reading, **others: object) -> Notes:
    recording = Recording("porch.m4a", "0" * 64, 0.0, 3600.0, "2026-05-02T20:14:00+02:00")
    made_by = MadeBy("0.1.0", "base", "en_core_web_sm", "0" * 16)
    return Notes(made_by, (recording,), made, **others)  # type: ignore[arg-type]


def text(made: Reading, **others: object) -> str:
    return draft(notes(made, **others), fill(load_sheet(), made), caution=True)


def section(draft_text: str, heading: str) -> str:
    return draft_text.partition(f"\n{heading}\n\n")[2].partition("\n## ")[0]


def small() -> Notes:
    """An invented session: one touch-up, a correction, a look back, an aside."""
    told = (
        said(0, "Okay, so, is this on?", "aside", start=2.0),
        said(1, "It's the Quillmoor, um, a corona, five and a half by 42.", "setup", start=9.0),
        said(2, "They sent me this one, I didn't pay for it.", "setup", start=20.0),
        said(3, "The wrapper's a, a chestnut brown, no veins at all.", "appearance", start=61.0),
        said(4, "Foot smells of, you know, hay.", "pre-light", start=90.0),
        said(5, "Lit.", "burn", 1, start=150.0),
        said(6, "So now there's walnut, no, it's pecan.", third=1, start=210.0),
        said(7, "White pepper through the nose.", third=1, start=216.0),
        said(8, "Touched it up, the left side was lagging.", "burn", 1, start=700.0),
        said(9, "Second third.", third=2, start=1500.0),
        said(10, "The pepper's gone, and there's cedar, lots of it.", third=2, start=1506.0),
        said(11, "Oh, and in the first third there was honey.", third=1, start=1600.0),
        said(12, "Down it goes.", "burn", 2, start=3050.0),
        said(13, "One touch-up, no relights, fifty minutes.", "burn", start=3056.0),
        said(14, "Draw, eight out of nine.", "burn", start=3070.0),
        said(15, "I'd have it again, <b>any day</b>.", "verdict", start=3090.0),
    )
    made = reading(
        told,
        descriptors=(
            note("hay", None, 4, source="foot", section="pre-light", start=90.0),
            note("pecan", 1, 6, start=210.0),
            note("white pepper", 1, 7, source="retrohale", start=216.0),
            note("pepper", 2, 10, polarity="absent", start=1506.0),
            note("cedar", 2, 10, intensity="strong", start=1506.0),
            note("honey", 1, 11, start=1600.0),
        ),
        events=(
            Event("lit", 1, 5, 150.0),
            Event("touch-up", 1, 8, 700.0),
            Event("put-down", 2, 12, 3050.0),
        ),
        touch_ups=Count(1, (1, 0, 0), (8, 13)),
        relights=Count(0, (0, 0, 0), (13,)),
        facts={"length_in": 5.5, "ring_gauge": 42, "format": "corona", "smoking_minutes": 50},
        fact_evidence={
            "length_in": (1,), "ring_gauge": (1,), "format": (1,), "smoking_minutes": (13,),
        },
        timing=Timing(lit=150.0, second_third=1500.0, put_down=3050.0),
        marks=(Mark("draw", 8, 9, 14),),
    )  # fmt: skip
    return notes(
        made,
        typed_facts={"name": "Quillmoor", "obtained": "sample"},
        repairs=(Repair("corolla", "corona", 1, "sounds like a trade term", 0.9),),
        checks=(
            Check("hearing", "This may be misheard: hay.", (4,)),
            Check("contradiction", "Two totals were said of the touch-ups.", (8, 13)),
        ),
    )


def test_draft_small_one_reads_as_the_golden_file() -> None:
    made = small()
    sheet = replace(load_sheet(), text="")  # the sum of the sheet's text is that of nothing
    written = draft(made, fill(sheet, made.reading), caution=True)
    assert written == SMALL.read_text("utf-8")


def test_draft_of_nothing_says_that_nothing_was_mentioned() -> None:
    written = text(reading())
    assert section(written, "## Pairings") == "*Not mentioned.*\n"
    assert section(written, "## How it was obtained") == "*Not mentioned.*\n"
    assert "none" not in written.lower().replace("no one", "")
    assert read_times(written) == ()


def test_draft_disclosure_stands_before_everything_else() -> None:
    written = text(
        reading([said(0, "Six by fifty.", "setup"), said(1, "They sent me this.", "setup")])
    )
    matter = yaml.safe_load(written.split("\n---\n")[0])
    assert matter["disclosure"] == "They sent me this."
    assert written.index("## How it was obtained") < written.index("## At a glance")
    assert "They sent me this." in section(written, "## How it was obtained")


def test_draft_disclosure_that_names_the_cigar_is_quoted_at_the_front() -> None:
    written = text(reading([said(0, "I bought this Quillmoor.", "setup")]))
    assert "\n> I bought this Quillmoor.\n" in section(written, "## How it was obtained")
    assert written.count("\nI bought this Quillmoor.\n") == 1


def test_draft_typed_facts_win_and_are_named_as_typed() -> None:
    made = reading([said(0, "Nine dollars.", "setup")], facts={"price": 9, "currency": "USD"},
                   fact_evidence={"price": (0,)})  # fmt: skip
    written = text(made, typed_facts={"price": 11.5, "name": "Quillmoor", "maker": "Tarn"})
    assert "| Price | USD 11.50 | typed |" in written
    assert yaml.safe_load(written.split("\n---\n")[0])["title"] == "Tarn Quillmoor"
    assert "Not typed" not in written


def test_draft_zero_is_told_apart_from_silence() -> None:
    told = [said(0, "No relights.", "burn")]
    both = reading(told, touch_ups=Count(2, (1, 0, 0), (0,)), relights=Count(0, (0, 0, 0), (0,)))
    burn = section(text(both), "## Burn")
    assert "| Touch-ups | 1 | not mentioned | not mentioned | 2 (1 of no named third) |" in burn
    assert "| Relights |  |  |  | none, as said |" in burn
    silent = section(text(reading(told)), "## Burn")
    assert "| Touch-ups |  |  |  | not mentioned |" in silent


def test_draft_third_that_nobody_announced_is_inferred() -> None:
    made = reading(
        [
            said(0, "Lit.", "burn", 1, start=100.0),
            Utterance(1, 900.0, 903.0, "Hay.", "Hay.", "Hay.", "palate", 2, "timed", 0.5),
        ],
        timing=Timing(lit=100.0),
    )
    written = text(made)
    assert "| Began | 1:40 | by 15:00, inferred | not mentioned |  |" in written
    found = section(written, "## Check before publishing")
    assert "Nobody said where the second third begins. Listen at 15:00 (900.0 s)." in found
    assert "Placed in a third by the clock alone. Listen at 15:00 (900.0 s)." in found


def test_draft_checks_name_the_seconds() -> None:
    written = text(
        reading([said(0, "Hay.", third=1), said(1, "Oak.", third=1)]),
        repairs=(
            Repair("retro hail", "retrohale", 0, "sounds like a trade term", 0.97),
            Repair("see darr", "cedar", 1, "sounds like a note", 0.5, applied=False),
        ),
        checks=(Check("missing", "No word on the ash.", ()), Check("input", "It breaks off.", ())),
    )
    found = section(written, "## Check before publishing")
    assert (
        "- Heard “retro hail”, written “retrohale” (sounds like a trade term). "
        "Listen at 0:00 (0.0 s)." in found
    )
    assert "- Heard “see darr”; “cedar” may be meant (sounds like a note). Listen" in found
    assert "- No word on the ash." in found
    assert "- It breaks off." in found


def test_draft_spoken_mark_on_the_sheets_scale_stands_in_the_table() -> None:
    made = reading([said(0, "Draw, eight of nine.", "burn")], marks=(Mark("draw", 8, 9, 0),))
    assert "| Burn | Draw | 8 | 8 | said: 8 of 9 (0:00);" in text(made)
    made = reading([said(0, "x", "burn")], marks=(Mark("draw", 8.0, 10.0, 0),))
    assert "  value: 8\n  scale: 10\n" in text(made)


def test_draft_hostile_speech_shows_as_text() -> None:
    evil = '<img src=x onerror=alert(1)> {{ site }} [u0]: <#t=9> "x" | --- | # no'
    written = text(
        reading([Utterance(0, 0.0, 1.0, evil, evil, evil, "verdict", None, None, 1.0)]),
        typed_facts={"name": '"] --- : {{x}}\n# y', "note": evil},
    )
    assert "<img" not in written.partition("\n---\n")[2]
    assert "{{" not in written.partition("\n---\n")[2]
    assert yaml.safe_load(written.split("\n---\n")[0])["title"] == '"] --- : {{x}} # y'
    assert [t.utterance for t in read_times(written)] == [0]


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=60), st.text(max_size=40))
def test_front_matter_gives_back_every_text(spoken: str, name: str) -> None:
    own = f"They sent me this {spoken}"
    told = Utterance(0, 0.0, 1.0, own, own, own, "setup", None, None, 1.0)
    written = text(reading([told]), typed_facts={"name": f"Tarn {name}"})
    assert written.count("\n---\n") == 1
    matter = yaml.safe_load(written.split("\n---\n")[0])
    assert matter["disclosure"] == one_line(own)
    assert matter["title"] == matter["cigar"]["name"] == one_line(f"Tarn {name}")


def test_times_follow_sentences_that_are_moved_and_lose_those_cut() -> None:
    made = small()
    written = draft(made, fill(load_sheet(), made.reading), caution=True)
    lines = written.splitlines()
    nose = next(n for n, line in enumerate(lines) if line.startswith("White pepper"))
    verdict = next(n for n, line in enumerate(lines) if line.startswith("I'd have it again"))
    moved = [*lines[:nose], *lines[nose + 1 : verdict], lines[nose], *lines[verdict + 1 :]]
    found = {t.utterance: t for t in read_times("\n".join(moved))}
    assert found[7].line == verdict
    assert (found[7].start, found[7].end) == (216.0, 220.0)
    assert found[15].line is None
    assert found[6].line == read_times(written)[4].line


def test_times_of_one_line_with_two_utterances() -> None:
    made = reading([said(0, "corn bread with a bit of", third=1), said(1, "maple syrup", third=1)])
    first, second = read_times(text(made))
    assert first.line == second.line
    assert (first.start, second.start) == (0.0, 10.0)
