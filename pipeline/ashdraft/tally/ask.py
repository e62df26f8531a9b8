"""Questions to the reviewer, where a mark and its evidence pull apart. No mark is proposed.

The rules stand in the sheet file (`[[question]]`); this file only holds them against a recording.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import get_args

from ..export.clock import chapter_time
from ..model import SECTIONS, Count, Reading, Source
from ..sheet.definition import Question, Row, SheetDefinition, exact, figure
from ..sheet.fill import counted, fill
from ..sheet.topics import Topic, loosened, mentioned, spoken, topics
from .marks import Typed


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: the criterion, the mark, what the recording holds against it, the words."""

    row: str
    mark: str
    evidence: str
    ask: str

    def __str__(self) -> str:
        return f"{self.row} is marked {self.mark} beside {self.evidence}. {self.ask}"


def questions(
    definition: SheetDefinition, typed: Mapping[str, Typed], reading: Reading
) -> tuple[Asked, ...]:
    """Return the questions of the sheet that these marks raise, in the order of its rows."""
    silent = {r.row.id for r in fill(definition, reading).rows if not r.evidence}
    found = []
    for row in definition.rows:
        mark = typed[row.id].mark
        if mark is None:
            continue
        for question in definition.questions:
            low, high = question.mark_from, question.mark_to
            inside = (low is None or mark >= exact(low)) and (high is None or mark <= exact(high))
            if inside and row.id in question.rows:
                evidence = _evidence(question, row, reading, silent=row.id in silent)
                shown = figure(float(mark))
                found += [Asked(row.name, shown, e, question.ask) for e in evidence]
    return tuple(dict.fromkeys(found))


def _evidence(question: Question, row: Row, reading: Reading, *, silent: bool) -> Iterator[str]:
    """What the question is held up by; nothing where it does not arise."""
    if question.silent and silent:
        yield "nothing that was said about it"
    if question.counts:
        yield from _counts(question, reading)
    if question.words:
        yield from _said(question, row, reading)


def _counts(question: Question, reading: Reading) -> Iterator[str]:
    """Counts together in their bounds. A count of which nothing was said is no zero."""
    counts: list[Count] = [getattr(reading, name) for name in question.counts]
    if any(not c.total and not c.utterances for c in counts) and question.at_most is not None:
        return
    total = sum(c.total for c in counts)
    if question.at_least is not None and total < question.at_least:
        return
    if question.at_most is not None and total > question.at_most:
        return
    shown = [e for name in question.counts if (e := counted(name, reading))]
    if shown:
        yield " and ".join(f"{e.label}{_at(e.at)}" for e in shown)


def _said(question: Question, row: Row, reading: Reading) -> Iterator[str]:
    """The first of the words that was said about the row and not denied there."""
    known = topics()
    about = {u for name in row.gathers.topics for u in spoken(known[name], reading).utterances}
    about |= {d.utterance for d in reading.descriptors if d.source in row.gathers.sources}
    for word in question.words:
        pattern = re.compile(rf"(?<!\w)(?:{re.escape(loosened(word))})(?!\w)")
        topic = Topic(word, word, SECTIONS, get_args(Source), pattern, thirds=False, absent=True)
        said = (u for u in reading.utterances if u.id in about and mentioned(topic, u) == "said")
        at = tuple(u.start for u in said)
        if at:
            yield f"“{word}”{_at(at)}"
            return


def _at(starts: tuple[float, ...]) -> str:
    shown = dict.fromkeys(chapter_time(int(s)) for s in starts)
    return f" ({', '.join(shown)})" if shown else ""
