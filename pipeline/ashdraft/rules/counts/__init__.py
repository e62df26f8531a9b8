"""Events, touch-ups, relights and the times of the thirds."""

from __future__ import annotations

from collections.abc import Sequence

from ...model import Check, Count, Event, Kind, Timing
from ..ground import ground
from ..lines import Line
from ..place.model import Placed
from .events import happened, started, timing
from .handling import find_handling
from .model import Candidates, Counted, Mention, Tally
from .moments import find_moments
from .out import settle_out
from .reconcile import reconcile
from .soft import soft_touches
from .split import find_splits
from .tally import gather, with_implied
from .totals import find_claims

__all__ = ["Candidates", "Counted", "count", "count_as", "find_events"]


def find_events(lines: Sequence[Line]) -> Candidates:
    """Everything that may be an event or a total, before sections and thirds are known."""
    base = ground(lines)
    found = find_handling(base)
    handling = settle_out(base, found.mentions)
    claims = find_claims(base, handling, found.totals, found.own_nouns)
    handling = sorted([*handling, *soft_touches(base, handling, claims)], key=lambda m: m.first)
    splits = find_splits(base, claims, handling)
    mentions = sorted([*handling, *find_moments(base)], key=lambda m: m.first)
    return with_implied(base, Candidates(tuple(mentions), tuple(claims), tuple(splits)))


def count(lines: Sequence[Line], placed: Sequence[Placed], events: Candidates) -> Counted:
    """Events (live recordings only), reconciled counts, times in seconds, and what to check."""
    from ..place import recorded_as

    return count_as(lines, placed, events, recorded_as(lines))


def count_as(
    lines: Sequence[Line], placed: Sequence[Placed], events: Candidates, kind: Kind
) -> Counted:
    """`count` for a recording known to be live or a narration."""
    base = ground(lines)
    ids = [line.id for line in lines]
    live = kind == "live"
    moments = happened(placed, events) if live else ()
    begin = started(placed, moments) if live else 0
    down = next((n for n, p in enumerate(placed) if p.current == 4), len(lines))
    closed = down if live else 0
    checks: list[Check] = []
    counts: dict[Tally, Count] = {}
    tallies: tuple[Tally, ...] = ("touch-up", "relight")
    for tally in tallies:
        told, claims = gather(base, placed, events, tally, live=live, begin=begin)
        splits = [s for s in events.splits if s.kind == tally and s.line >= begin]
        counts[tally], found = reconcile(tally, told, claims, splits, ids, closed)
        checks += found
    return Counted(
        tuple(
            Event(m.kind, _third(placed, m), ids[m.line], lines[m.line].start) for m in moments
        ),
        counts["touch-up"], counts["relight"],
        timing(lines, placed, moments) if live else Timing(),
        tuple(checks),
    )  # fmt: skip


def _third(placed: Sequence[Placed], mention: Mention) -> int:
    """The third being smoked when it happens."""
    return min(max(placed[mention.line].current, 1), 3)
