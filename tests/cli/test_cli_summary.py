"""The summary: plain text on stdout, 'not mentioned' is never 'none', the path comes last."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from ashdraft import session
from ashdraft.assemble.checks import checks, findings
from ashdraft.cli import app
from ashdraft.cli.summary import clock, summary
from ashdraft.model import Check, Count, Descriptor, MadeBy, Notes, Reading, Recording, Utterance
from ashdraft.output import Written
from ashdraft.session import Result
from typer.testing import CliRunner


def note(third: int | None, polarity: str = "present") -> Descriptor:
    return Descriptor(
        "cedar", "wood", polarity, "palate", "plain", "palate", third, 0, 1.0, "cedar"  # type: ignore[arg-type]
    )  # fmt: skip


READING = Reading(
    kind="live",
    utterances=(Utterance(0, 1, 2, "a", "a", "A.", "burn", 1, "said", 1.0),),
    descriptors=(note(None), note(1), note(1), note(3), note(2, "absent")),
    touch_ups=Count(2, (1, 1, 0), (0,)),
    facts={"length_in": 5.625, "ring_gauge": 46, "price": 8.5},
)
NOTES = Notes(
    MadeBy("0.1.0", "base", "x", "y"),
    (Recording("stick2.m4a", "0" * 64, 0.0, 1880.0),),
    READING,
    checks=(Check("hearing", "a"), Check("hearing", "b"), Check("fact", "c")),
    typed_facts={"price": 9, "name": "Lantern No. 3"},
)
RESULT = Result(Path("out"), (Written(Path("out/draft.md")),), NOTES)


def test_summary_holds_what_a_person_needs() -> None:
    head, _, tail = summary(RESULT).partition("To check    ")
    assert head.splitlines() == [
        "Recording   stick2.m4a, 31 min 20 s",
        "Cigar       name Lantern No. 3; length 5 5/8 in (143 mm);",
        "            ring gauge 46 (18.3 mm across); price 9.00",
        "",
        "                    in all   first third  second third   final third",
        "Touch-ups                2             1             1             0",
        "Relights    not mentioned",
        "Notes                    4             2             0             1"
        "   and 1 said not to be there",
        "",
    ]
    assert tail.startswith("doubtful hearings 2; contradictions 1; never mentioned ")
    assert tail.endswith("\nOpen next   out/draft.md")


def test_summary_counts_what_the_draft_lists() -> None:
    text = checks(NOTES)
    for name, lines in findings(NOTES):
        assert text.partition(f"### {name}\n\n")[2].partition("\n\n")[0].count("- ") >= len(lines)
        assert (f"{name.lower()} {len(lines)}" in summary(RESULT)) == bool(lines)


def test_count_that_was_said_to_be_none_is_a_number() -> None:
    reading = replace(READING, relights=Count(0, (0, 0, 0), (0,)))
    text = summary(replace(RESULT, notes=replace(NOTES, reading=reading)))
    assert "Relights                 0             0             0             0" in text


def test_summary_without_facts() -> None:
    reading = replace(READING, facts={})
    text = summary(
        replace(RESULT, notes=replace(NOTES, reading=reading, typed_facts={}, checks=()))
    )
    assert "no facts were given" in text


def test_summary_shows_control_characters() -> None:
    recordings = (
        Recording("a\x1b[31m\n.wav", "0" * 64, 0, 60),
        Recording("b.wav", "0" * 64, 100, 60),
    )
    text = summary(replace(RESULT, notes=replace(NOTES, recordings=recordings)))
    assert text.startswith("Recording   a\\x1b[31m\\n.wav and 1 more, 2 min 40 s")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "0 s"), (59.6, "1 min 00 s"), (3599.4, "59 min 59 s"), (3840, "1 h 04 min")],
)
def test_clock_rounds_before_it_splits(seconds: float, words: str) -> None:
    assert clock(seconds) == words


def test_stdout_holds_the_summary_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    def write(_: object, progress: object) -> Result:
        progress.note("a word on the way")  # type: ignore[attr-defined]
        return RESULT

    monkeypatch.setattr(session, "write", write)
    done = CliRunner().invoke(app, ["write", "stick2.m4a"])
    assert done.exit_code == 0
    assert done.stdout == summary(RESULT) + "\n"
    assert done.stderr == "a word on the way\n"
