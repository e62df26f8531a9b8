"""Which candidates of a live recording are events: each moment at the one place it fits."""

from __future__ import annotations

from collections.abc import Sequence

from ...model import Timing
from ..lines import Line
from ..place.model import Placed
from .model import Candidates, Mention
from .moments import HINT
from .soft import SURE

_LATE = 8
"""Lines by which an announcement may follow the place where a third seemed to begin."""


def happened(placed: Sequence[Placed], found: Candidates) -> tuple[Mention, ...]:
    """The events, in time order: said that it happens now, while the stick is smoked."""
    size = len(placed)
    current = [p.current for p in placed]
    done = [
        m for m in found.mentions
        if m.mood == "done" and m.line < size
        and (m.kind != "touch-up" or m.sure != SURE or _burning(placed[m.line]))
    ]  # fmt: skip
    kept: list[Mention] = []
    kept += _lit([m for m in done if m.kind == "lit"], placed, current)
    start = kept[0].line + 1 if kept else _first(current, 1)
    handled = {m.line for m in done if m.kind in ("touch-up", "relight") and m.sure > 0.5}
    down = _down(
        [m for m in done if m.kind == "put-down" and m.line not in handled], placed, current
    )
    end = down[0].line if down else next((n for n, c in enumerate(current) if c == 4), size) - 1
    kept += down
    kept += _handled(done, start, end)
    for kind, third in (("second-third", 2), ("final-third", 3)):
        kept += _third(
            [m for m in done if m.kind == kind and start <= m.line <= end], current, third
        )
    kept += [m for m in done if m.kind == "ash-drop" and start <= m.line <= end
             and placed[m.line].section in ("burn", "palate", "pairing", "aside")]  # fmt: skip
    kept += _band([m for m in done if m.kind == "band-off" and start <= m.line <= end], placed)
    return tuple(sorted(kept, key=lambda m: (m.line, m.first)))


def _burning(here: Placed) -> bool:
    """True for talk of the burn while the stick is smoked."""
    return here.section == "burn" and 1 <= here.current <= 3


def started(placed: Sequence[Placed], events: Sequence[Mention]) -> int:
    """The first line after the lighting; what was said before is about other sticks."""
    lit = next((m.line for m in events if m.kind == "lit"), None)
    return lit + 1 if lit is not None else _first([p.current for p in placed], 1)


def _first(current: Sequence[int], value: int) -> int:
    """The first line at which this third or a later one is smoked."""
    return next((n for n, c in enumerate(current) if c >= value), len(current))


def _lit(found: list[Mention], placed: Sequence[Placed], current: Sequence[int]) -> list[Mention]:
    """The one lighting: the surest words around the line where smoking begins."""
    begin = _first(current, 1)
    tasted = next(
        (n for n in range(begin, len(placed)) if placed[n].section == "palate"), len(placed)
    )
    seen = begin > 0  # the recording begins before the lighting
    near = [
        m for m in found
        if begin - 3 <= m.line <= max(tasted, begin + (2 if m.sure == 1 else 1))
        and (seen or m.sure == 1)
        and (m.sure > HINT or placed[m.line].section == "burn")
        and current[m.line] <= 1 and placed[m.line].section in ("burn", "palate", "aside")
    ]  # fmt: skip
    if not near:
        return []
    told = [m for m in near if m.sure > HINT]
    if not told:  # only hints: the last talk of fire before the first taste
        last = max(near, key=lambda m: m.line if m.line < tasted else -1)
        return [last] if last.line < tasted else []
    return [max(told, key=lambda m: (_fits(placed, m), m.sure, current[m.line], -m.line))]


def _fits(placed: Sequence[Placed], mention: Mention) -> int:
    return int(placed[mention.line].section == "burn")


def _down(found: list[Mention], placed: Sequence[Placed], current: Sequence[int]) -> list[Mention]:
    """The one putting down: the surest words near where smoking ends."""
    end = next((n for n, c in enumerate(current) if c == 4), len(current))
    last = [
        m for m in found
        if end - 4 <= m.line <= end + 1 and placed[m.line].section == "burn"
        and (current[m.line] >= 3 or (m.sure == 1 and end < len(current)))
        and (m.sure > HINT or (m.line < end < len(current) and placed[m.line].third == 3))
    ]  # fmt: skip
    if not last:
        return []
    return [max(last, key=lambda m: (m.sure, -abs(m.line - (end - 1)), m.line))]


def _handled(done: list[Mention], start: int, end: int) -> list[Mention]:
    """Touch-ups and relights told as they happen, one of a kind a line."""
    kept: dict[tuple[str, int], Mention] = {}
    for mention in done:
        now = mention.kind in ("touch-up", "relight") and not mention.later and mention.sure > 0.5
        if now and start <= mention.line <= end:
            kept.setdefault((mention.kind, mention.line), mention)
    return list(kept.values())


def _third(found: list[Mention], current: Sequence[int], third: int) -> list[Mention]:
    """The announcement of a third: where the smoking passes into it."""
    begin = next((n for n, c in enumerate(current) if third <= c <= 3), None)
    if begin is None:
        return []
    near = [
        m for m in found
        if (begin - 1 <= m.line <= begin + 2 and m.sure >= 0.5)
        or (begin - 3 <= m.line < begin and m.sure >= 0.9)
    ]  # fmt: skip
    if near:
        return [min(near, key=lambda m: (-m.sure, abs(m.line - begin)))]
    later = [
        m for m in found
        if begin < m.line <= begin + _LATE and m.sure >= 0.9 and current[m.line] == third
    ]  # fmt: skip
    return later[:1]


def _band(found: list[Mention], placed: Sequence[Placed]) -> list[Mention]:
    """The band comes off once; more than one where there are two bands."""
    fitting = [m for m in found if placed[m.line].section in ("presentation", "burn", "palate")]
    if not fitting:
        return []
    best = max(fitting, key=lambda m: (m.sure, placed[m.line].section == "presentation", -m.line))
    return [best]


def timing(lines: Sequence[Line], placed: Sequence[Placed], events: Sequence[Mention]) -> Timing:
    """Seconds at which it was lit, the second and final third began, and it was put down.

    Where a moment was not announced, the first line placed in that third stands in.
    """
    at: dict[str, float] = {}
    for event in events:
        at.setdefault(event.kind, lines[event.line].start)
    current = [p.current for p in placed]

    def first(third: int) -> float | None:
        n = next((n for n, c in enumerate(current) if third <= c <= 3), None)
        return lines[n].start if n is not None and n < len(lines) else None

    return Timing(
        at.get("lit", first(1)), at.get("second-third", first(2)),
        at.get("final-third", first(3)), at.get("put-down"),
    )  # fmt: skip
