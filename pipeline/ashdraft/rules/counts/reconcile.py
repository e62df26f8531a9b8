"""Brings handlings, running totals, corrections and splits to one count."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from ...model import Check, Count
from .model import Claim, Mention, Split, Tally


def _counted(kind: Tally, number: int) -> str:
    """`1 touch-up`, `2 touch-ups`."""
    return f"{number} {kind}" if number == 1 else f"{number} {kind}s"


@dataclass(frozen=True, slots=True)
class Told:
    """One handling with the third it happened in (None where that was not said)."""

    mention: Mention
    third: int | None

    @property
    def times(self) -> int:
        return self.mention.times


def reconcile(
    kind: Tally,
    told: Sequence[Told],
    claims: Sequence[Claim],
    splits: Sequence[Split],
    ids: Sequence[int],
    closed: int,
) -> tuple[Count, tuple[Check, ...]]:
    """The count of one kind: the last total said wins, the thirds come from what was told.

    `ids` are the utterance ids of the lines; from line `closed` on all is told afterwards. A total
    over the whole stick outweighs what is told beside it. `by_third` sums to the total, or a
    check says why not.
    """
    sure = [t for t in told if t.mention.sure > 0.5]
    weak = [t for t in told if t.mention.sure <= 0.5]
    total, final = _total(sure, claims, bool(splits), closed)
    if total is None:
        total = sum(t.times for t in sure)
        if not sure and weak:
            sure, total = list(weak), sum(t.times for t in weak)
        if splits and sum(splits[-1].by_third) > total:
            total = sum(splits[-1].by_third)
    elif total > sum(t.times for t in sure) and weak:
        short = total - sum(t.times for t in sure)
        sure += weak[:short]
    by_third = _by_third(total, sure, splits)
    lines = sorted({t.mention.line for t in sure} | ({final.line} if final else set()))
    evidence = tuple(ids[n] for n in lines)
    checks = []
    if sum(by_third) != total:
        checks.append(
            Check("count", f"{_counted(kind, total)} in all, but only {sum(by_third)} told "
                  "with a third.", evidence)
        )  # fmt: skip
    heard = sum(t.times for t in sure)
    if final and heard and heard != total:
        checks.append(
            Check("count", f"The speaker sums up to {_counted(kind, total)}; {heard} told one "
                  "by one.", evidence)
        )  # fmt: skip
    return Count(total, by_third, evidence), tuple(checks)


def _total(
    told: Sequence[Told], claims: Sequence[Claim], split: bool, closed: int
) -> tuple[int | None, Claim | None]:
    """The last total said, with what was told to have happened after it."""
    sums = [c for c in claims if c.reach != "part"]
    if not sums and (split or not claims):
        return None, None
    final = max(sums or claims, key=lambda c: c.first)
    whole = max((c for c in sums if c.reach == "whole"), key=lambda c: c.first, default=None)
    if whole and not any(whole.line < t.mention.line <= final.line for t in _new(told, closed)):
        final = whole
    after = [
        t for t in (_new(told, closed) if final.reach == "whole" else told)
        if t.mention.first >= final.end and t.mention.line > final.line
        and not _explained(final, told)
    ]  # fmt: skip
    return final.value + sum(t.times for t in after), final


def _new(told: Sequence[Told], closed: int) -> list[Told]:
    """Handlings told as they happen: only these come after a total over the whole stick."""
    return [t for t in told if t.mention.line < closed and not t.mention.later]


def _explained(final: Claim, told: Sequence[Told]) -> bool:
    """True where handlings told behind a total are those that it already counted."""
    counted = sum(t.times for t in told if t.mention.first < final.end)
    return counted < final.value


def _by_third(total: int, told: Sequence[Told], splits: Sequence[Split]) -> tuple[int, int, int]:
    """The total by thirds."""
    fitting = [s for s in splits if sum(s.by_third) == total]
    if fitting and total:
        return fitting[-1].by_third
    placed = [0, 0, 0]
    for t in told:
        if t.third in (1, 2, 3):
            placed[t.third - 1] += t.times
    if not total:
        return (0, 0, 0)
    return _fewer(total, told) if sum(placed) > total else (placed[0], placed[1], placed[2])


def _fewer(total: int, told: Sequence[Told]) -> tuple[int, int, int]:
    """More were told than summed up: the surest handlings that make up the total."""
    single = [t for t in told for _ in range(t.times)][:10]
    best: tuple[float, tuple[int, int, int]] | None = None
    for keep in product((1, 0), repeat=len(single)):
        kept = [t for t, k in zip(single, keep, strict=True) if k]
        if len(kept) != total or any(t.third is None for t in kept):
            continue
        by = [0, 0, 0]
        for t in kept:
            by[(t.third or 1) - 1] += 1
        lost = sum(t.mention.sure for t, k in zip(single, keep, strict=True) if not k)
        score = lost - 0.1 * sum(b > 0 for b in by)
        if best is None or score < best[0]:
            best = score, (by[0], by[1], by[2])
    return best[1] if best else (0, 0, 0)
