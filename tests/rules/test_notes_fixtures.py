"""Readable cases for tasting notes: fixtures/notes_*.md, the format is told in each first lines.

The cases are the project's own; the twelve named "reference sentence" are the sentences on which
clinical negation packages (NegEx, Chapman et al. 2001; ConText, Harkema et al. 2009, as
implemented by negspacy 1.1.0 and medspacy 1.3.1) were found to fail.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

import pytest
from ashdraft.model import Descriptor, Said, Section
from ashdraft.rules.nlp import analyse
from ashdraft.rules.notes import settle
from ashdraft.rules.place.model import Placed

FIXTURES = Path(__file__).parent / "fixtures"
SOURCES = {"wrapper", "foot", "cold-draw", "palate", "retrohale", "finish", "room"}
STRENGTHS = {"faint", "plain", "strong"}
Wanted = tuple[int, str, str, str, str]  # utterance, term, polarity, source, strength


@dataclass(frozen=True, slots=True)
class Case:
    """One fixture: `said` holds (section, third, text), `wanted` the notes expected."""

    title: str
    said: tuple[tuple[Section, int | None, str], ...]
    wanted: tuple[Wanted, ...]


def _utterance(line: str) -> tuple[Section, int | None, str]:
    placed = re.match(r"\[([a-z-]+)(?: ([123]))?\] ", line)
    if not placed:
        return "palate", 1, line
    third = int(placed[2]) if placed[2] else None
    return cast(Section, placed[1]), third, line[placed.end() :]


def _expected(line: str) -> Wanted:
    at, sign, rest = re.fullmatch(r"=> (?:(\d+): )?([+-]) (.+)", line).groups()  # type: ignore[union-attr]
    term, *more = [part.strip() for part in rest.split(",")]
    source = next((m for m in more if m in SOURCES), "palate")
    strength = next((m for m in more if m in STRENGTHS), "plain")
    assert set(more) <= SOURCES | STRENGTHS, line
    return int(at or 1) - 1, term, "present" if sign == "+" else "absent", source, strength


def read_cases(path: Path) -> Iterator[Case]:
    """The cases of one file."""
    for block in path.read_text(encoding="utf-8").split("\n## ")[1:]:
        title, *lines = [line for line in block.splitlines() if line.strip()]
        said = tuple(_utterance(line) for line in lines if not line.startswith("=>"))
        wanted = [line for line in lines if line.startswith("=>")]
        assert said, title
        assert wanted, title
        notes = () if wanted == ["=> nothing"] else tuple(_expected(line) for line in wanted)
        yield Case(f"{path.stem}: {title}", said, notes)


def notes_of(case: Case) -> list[Descriptor]:
    """What the rules read in a case, with the sections and thirds it names."""
    said = [
        Said(i, i * 10.0, i * 10.0 + 5.0, text, text, text)
        for i, (_, _, text) in enumerate(case.said)
    ]
    placed = [Placed(section, third, None, 1.0, third or 0) for section, third, _ in case.said]
    return list(settle(analyse(said), placed))


CASES = [case for path in sorted(FIXTURES.glob("notes_*.md")) for case in read_cases(path)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.title)
def test_notes_fixture_reads_as_expected(case: Case) -> None:
    found = [(d.utterance, d.term, d.polarity, d.source, d.intensity) for d in notes_of(case)]
    assert sorted(found) == sorted(case.wanted)


def test_notes_fixtures_are_many_and_cover_each_phenomenon() -> None:
    titles: list[Any] = [case.title for case in CASES]
    assert len(titles) == len(set(titles))
    assert len(titles) >= 300
    assert {title.split(":")[0] for title in titles} == {
        "notes_negation", "notes_leaving", "notes_repair", "notes_others", "notes_lookalikes",
        "notes_source", "notes_intensity", "notes_open", "notes_raw",
    }  # fmt: skip
