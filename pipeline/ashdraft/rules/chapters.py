"""Chapters: the places a viewer would jump to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..model import Chapter, Descriptor, Section
from .lines import Line
from .place.model import Placed

_TITLES: dict[Section, str] = {
    "setup": "The cigar", "appearance": "Look and feel", "pre-light": "Before lighting",
    "palate": "Flavour", "burn": "Burn", "presentation": "Band, box and value",
    "pairing": "Pairings", "verdict": "Verdict", "aside": "Interlude",
}  # fmt: skip
_THIRDS = {1: "First third", 2: "Second third", 3: "Final third"}
_SHORT_RUN = 2
_CLOSING: tuple[Section, ...] = ("presentation", "pairing", "verdict")
_NOTES_IN_TITLE = 2


@dataclass(frozen=True, slots=True)
class _Run:
    """Lines `first` up to `end` about one thing; `third` only inside the palate talk."""

    first: int
    end: int
    section: Section
    third: int | None

    @property
    def length(self) -> int:
        return self.end - self.first


def _runs(labels: Sequence[Section]) -> list[_Run]:
    runs: list[_Run] = []
    for i, label in enumerate(labels):
        if runs and runs[-1].section == label:
            runs[-1] = _Run(runs[-1].first, i + 1, label, None)
        else:
            runs.append(_Run(i, i + 1, label, None))
    return runs


def _joined(runs: Sequence[_Run]) -> list[_Run]:
    """Neighbouring runs on one topic made one."""
    joined: list[_Run] = []
    for run in runs:
        if joined and joined[-1].section == run.section:
            joined[-1] = _Run(joined[-1].first, run.end, run.section, None)
        else:
            joined.append(run)
    return joined


def _marks_join_verdict(runs: list[_Run]) -> list[_Run]:
    """Marks are given topic by topic just before the verdict: they belong to it."""
    joined = list(runs)
    for i in range(len(joined) - 2, 0, -1):
        run, after = joined[i], joined[i + 1]
        seen = any(r.section == run.section for r in joined[:i])
        if after.section == "verdict" and run.length <= _SHORT_RUN and seen:
            joined[i : i + 2] = [_Run(run.first, after.end, "verdict", None)]
    return _joined(joined)


def _is_digression(runs: Sequence[_Run], i: int) -> bool:
    """An aside in the middle, a short run between two on one topic, or a short return."""
    run, before = runs[i], runs[i - 1]
    after = runs[i + 1] if i + 1 < len(runs) else None
    if run.section == "aside":
        return after is not None
    if run.length > _SHORT_RUN:
        return False
    if after is not None and after.section == before.section:
        return True
    if run.section in _CLOSING and (run.length > 1 or after is None or after.section == "aside"):
        return False
    return any(r.section == run.section for r in runs[:i])


def _without_digressions(runs: list[_Run]) -> list[_Run]:
    """Fold digressions into the talk before them, until nothing changes."""
    while True:
        found = next((i for i in range(1, len(runs)) if _is_digression(runs, i)), None)
        if found is None:
            return runs
        before = runs[found - 1]
        runs[found - 1 : found + 1] = [_Run(before.first, runs[found].end, before.section, None)]
        runs = _joined(runs)


def _stays(placed: Sequence[Placed], i: int) -> bool:
    """True where the talk stays with a new third for more than a remark."""
    ahead = placed[i : i + 4]
    return sum(p.third == placed[i].third for p in ahead) >= min(2, len(ahead))


def _by_third(run: _Run, placed: Sequence[Placed]) -> list[_Run]:
    """Split a palate run where the third at hand changes."""
    parts: list[_Run] = []
    for i in range(run.first, run.end):
        here = placed[i]
        named = here.third if here.section == "palate" and here.third == here.current else None
        if named and (not parts or ((parts[-1].third or named) != named and _stays(placed, i))):
            start = run.first if not parts else i
            parts.append(_Run(start, i + 1, "palate", named))
        elif parts:
            parts[-1] = _Run(parts[-1].first, i + 1, "palate", parts[-1].third or named)
        else:
            parts.append(_Run(run.first, i + 1, "palate", named))
    return parts


def _title(run: _Run, lines: Sequence[Line], notes: Sequence[Descriptor], last: bool) -> str:
    if run.section == "aside":
        return "Welcome" if run.first == 0 else "Sign-off" if last else _TITLES["aside"]
    name = _THIRDS[run.third] if run.third else _TITLES[run.section]
    ids = {line.id for line in lines[run.first : run.end]}
    here = [n for n in notes if n.utterance in ids and n.polarity == "present"]
    if run.section not in ("palate", "pre-light") or not here:
        return name
    count: dict[str, float] = {}
    for note in here:
        weight = {"strong": 2.0, "plain": 1.0, "faint": 0.5}[note.intensity]
        count[note.term] = count.get(note.term, 0.0) + weight
    leading = sorted(count, key=lambda term: -count[term])[:_NOTES_IN_TITLE]
    return f"{name}: {', '.join(leading)}"


def chapters(
    lines: Sequence[Line], placed: Sequence[Placed], notes: Sequence[Descriptor]
) -> tuple[Chapter, ...]:
    """One chapter a topic, the first at the first utterance; thirds inside the palate talk."""
    if not lines:
        return ()
    runs = _without_digressions(_marks_join_verdict(_runs([p.section for p in placed])))
    split: list[_Run] = []
    for run in runs:
        split += _by_third(run, placed) if run.section == "palate" else [run]
    return tuple(
        Chapter(
            lines[run.first].start,
            _title(run, lines, notes, run is split[-1]),
            run.section,
            run.third,
        )
        for run in split
    )
