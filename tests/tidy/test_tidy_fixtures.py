"""Readable cases in fixtures/*.txt: a title, what was said, what is written."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from ashdraft.tidy import tidy

FOLDER = Path(__file__).parent / "fixtures"


def cases() -> Iterator[tuple[str, str, str]]:
    for path in sorted(FOLDER.glob("*.txt")):
        lines = [line for line in path.read_text("utf-8").splitlines() if line[:1] != "#"]
        blocks = "\n".join(lines).strip().split("\n\n")
        for block in blocks:
            title, said, text = block.split("\n")
            yield f"{path.stem}: {title}", said.removeprefix("  "), text.removeprefix("  ")


CASES = tuple(cases())


def test_tidy_fixtures_are_many() -> None:
    assert len(CASES) >= 60
    assert len({title for title, _, _ in CASES}) == len(CASES)


@pytest.mark.parametrize(("said", "text"), [c[1:] for c in CASES], ids=[c[0] for c in CASES])
def test_tidy_fixture(said: str, text: str) -> None:
    assert tidy(said) == text
