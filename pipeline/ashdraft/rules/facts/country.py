"""The country of manufacture."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP
from .found import Found, Sections, corrects


def made_in(ground: Ground) -> list[tuple[int, int]]:
    """Words (first, end) after which the country of manufacture is named."""
    row = ground.row
    rolled = (
        r"{facts.made}(?: (?:is|'s|it|them|em|these|this|those|the whole (?:thing|lot)|all|"
        r"right|down|over|up|"
        r"out|together|proudly|entirely|by hand|as well|too|also|somewhere|back|both)){0,4}"
        r" (?:in|at|over in|down in|from)|{facts.made-from}"
    )
    leaf = pattern("{facts.leaf.wrapper}|{facts.leaf.binder}|{facts.leaf.filler}|leaf|seed|tobacco")
    found = []
    for first, end, match in row.find(pattern(rolled)):
        start = max(row.sentence(first)[0], first - 4)
        grown = match[0].startswith(("come", "came", "hail")) and any(
            True for _ in row.find(leaf, start, first)
        )
        if not grown:  # "the wrapper comes from Ecuador" tells no country of manufacture
            found.append((first, end))
    return found


def read_country(ground: Ground, sections: Sections) -> list[Found]:
    """`country`: where it was rolled, by name."""
    row = ground.row
    names = list(row.find(pattern("{facts.country}")))
    best: tuple[int, int] | None = None
    for first, end in made_in(ground):
        if any(ground.scope.other[first:end]):
            continue
        before = row.said(first - 2, first).split()
        if "not" in before or row.said(end, end + 1) == "is":
            continue
        near = [n for n in names if end - 2 <= n[0] <= end + 4]
        if not near or sections.of(first) in ("palate", "pre-light", "pairing", "aside"):
            continue
        if best is None or corrects(ground, best[1], near[0][0], reach=8):
            best = near[0][0], near[0][1]
    for first, end, _ in row.find(pattern("from|out of")):
        opens = first == 0 or row.words[first].gap == STOP
        near = [n for n in names if n[0] == end]
        if best is None and opens and near and sections.of(first) == "setup":
            best = near[0][0], near[0][1]
    best = best or _there(ground, sections, names)
    if best is None:
        return []
    name = row.said(*best).removeprefix("the ")
    name = {"dominican": "dominican republic"}.get(name, name)
    small = {"and", "of", "the"}
    told = " ".join(w if w in small else w.capitalize() for w in name.split())
    return [Found("country", told, (best,))]


def _there(
    ground: Ground, sections: Sections, names: Sequence[tuple[int, int, re.Match[str]]]
) -> tuple[int, int] | None:
    """`they roll it there too`: the country named last."""
    rolled = pattern(
        r"(?:rolls?|rolled|makes?|made|puts?|produced?)(?: it| them| these)?(?: together)?"
        r"(?: over| down| up| right)? (?:there|in the same country|in the same place)"
    )
    for first, _, _ in ground.row.find(rolled):
        before = [n for n in names if n[1] <= first and first - n[1] <= 30]
        if before and sections.of(first) == "setup":
            return before[-1][0], before[-1][1]
    return None
