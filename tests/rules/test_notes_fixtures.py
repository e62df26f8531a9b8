"""Readable cases for tasting notes: fixtures/notes_*.md, in the format of reading/remarks.py.

The cases are the project's own; the twelve named "reference sentence" are the sentences on which
clinical negation packages (NegEx, Chapman et al. 2001; ConText, Harkema et al. 2009, as
implemented by negspacy 1.1.0 and medspacy 1.3.1) were found to fail.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from ashdraft.model import Said
from ashdraft.rules.nlp import analyse
from ashdraft.rules.notes import settle
from ashdraft.rules.place.model import Placed
from ashdraft_models.reading.remarks import Remark, read_remarks

FIXTURES = Path(__file__).parent / "fixtures"
FILES = sorted(FIXTURES.glob("notes_*.md"))
CASES = [(f"{path.stem}: {case.title}", case) for path in FILES for case in read_remarks(path)]


@pytest.mark.parametrize(("title", "case"), CASES, ids=[title for title, _ in CASES])
def test_notes_fixture_reads_as_expected(title: str, case: Remark) -> None:
    said = [
        Said(i, i * 10.0, i * 10.0 + 5.0, text, text, text)
        for i, (_, _, text) in enumerate(case.said)
    ]
    placed = [Placed(section, third, None, 1.0, third or 0) for section, third, _ in case.said]
    found = settle(analyse(said), placed)
    assert sorted(
        (d.utterance, d.term, d.polarity, d.source, d.intensity) for d in found
    ) == sorted((w.at, w.term, w.polarity, w.source, w.strength) for w in case.wanted)


def test_notes_fixtures_are_many_and_have_titles_of_their_own() -> None:
    titles = [title for title, _ in CASES]
    assert len(titles) == len(set(titles))
    assert len(titles) >= 300


@pytest.mark.parametrize(
    "text",
    [
        "# x\n\n## no notes\nCedar.\n",
        "# x\n\n## unread\nCedar.\n=> cedar\n",
        "# x\n\n## s\n=> + cedar\n",
    ],
)
def test_remarks_that_cannot_be_read_are_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / "remarks.md"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"no notes|unread|'s'"):
        list(read_remarks(path))
