"""Stretches of talk about one thing, from which chapters are made."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from ..model import EventKind, Section
from .place.model import Placed

SHORT = 2
"""Lines: a stretch this short in the middle of another is a remark."""
_CLOSING: tuple[Section, ...] = ("presentation", "pairing", "verdict")


@dataclass(frozen=True, slots=True)
class Run:
    """Lines `first` up to `end` about one thing.

    `third` is set inside the palate talk only. `event` is what happened at its first line, where
    that is what the chapter is for; `back` means that the talk returns to a third.
    """

    first: int
    end: int
    section: Section
    third: int | None = None
    event: EventKind | None = None
    back: bool = False

    @property
    def length(self) -> int:
        return self.end - self.first


def topics(labels: Sequence[Section], first: int = 0, seen: Collection[Section] = ()) -> list[Run]:
    """Stretches by topic, digressions folded into the talk before them.

    Lines are numbered from `first` on; `seen` are topics that were talked about before it.
    """
    found = _joined([Run(first + i, first + i + 1, label) for i, label in enumerate(labels)])
    return _without_digressions(_marks_join_verdict(found, seen), seen)


def by_third(run: Run, placed: Sequence[Placed]) -> list[Run]:
    """Split a palate run where the third at hand changes."""
    parts: list[Run] = []
    for i in range(run.first, run.end):
        here = placed[i]
        named = here.third if here.section == "palate" and here.third == here.current else None
        before = parts[-1].third if parts else None
        if named and (
            not parts or ((before or named) != named and _stays(placed, i, run.end, before))
        ):
            start = run.first if not parts else i
            parts.append(Run(start, i + 1, "palate", named))
        elif parts:
            parts[-1] = Run(parts[-1].first, i + 1, "palate", parts[-1].third or named)
        else:
            parts.append(Run(run.first, i + 1, "palate", named))
    return parts


def _joined(runs: Sequence[Run]) -> list[Run]:
    """Neighbouring runs on one topic made one."""
    joined: list[Run] = []
    for run in runs:
        if joined and joined[-1].section == run.section:
            joined[-1] = Run(joined[-1].first, run.end, run.section)
        else:
            joined.append(run)
    return joined


def _marks_join_verdict(runs: list[Run], before: Collection[Section]) -> list[Run]:
    """Marks are given topic by topic just before the verdict: they belong to it."""
    joined = list(runs)
    for i in range(len(joined) - 2, 0, -1):
        run, after = joined[i], joined[i + 1]
        if run.section == "aside":
            continue
        seen = run.section in before or any(r.section == run.section for r in joined[:i])
        if after.section == "verdict" and run.length <= SHORT and seen:
            joined[i : i + 2] = [Run(run.first, after.end, "verdict")]
    return _joined(joined)


def _is_digression(runs: Sequence[Run], i: int, seen: Collection[Section]) -> bool:
    """An aside in the middle, a short run between two on one topic, or a short return."""
    run, before = runs[i], runs[i - 1]
    after = runs[i + 1] if i + 1 < len(runs) else None
    if run.section == "aside":
        return after is not None
    if run.length > SHORT:
        return False
    if after is not None and after.section == before.section:
        return True
    if run.section in _CLOSING and (run.length > 1 or after is None or after.section == "aside"):
        return False
    return run.section in seen or any(r.section == run.section for r in runs[:i])


def _without_digressions(runs: list[Run], seen: Collection[Section]) -> list[Run]:
    """Fold digressions into the talk before them, until nothing changes."""
    while True:
        found = next((i for i in range(1, len(runs)) if _is_digression(runs, i, seen)), None)
        if found is None:
            return runs
        before = runs[found - 1]
        runs[found - 1 : found + 1] = [Run(before.first, runs[found].end, before.section)]
        runs = _joined(runs)


def _stays(placed: Sequence[Placed], i: int, end: int, before: int | None) -> bool:
    """True where the talk stays with a new third for more than a remark, or does not go back.

    An earlier third than the one `before` must be stayed with longer: "I forgot one, back in the
    first third" is a remark.
    """
    third = placed[i].third
    ahead = placed[i : i + 4]
    if third and before and third < before:
        return sum(p.third == third for p in ahead) > SHORT
    if sum(p.third == third for p in ahead) >= min(2, len(ahead)):
        return True
    return third is not None and all(
        p.third >= third for p in placed[i + 1 : end] if p.section == "palate" and p.third
    )
