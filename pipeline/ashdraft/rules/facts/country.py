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
        before = row.said(max(first - 2, row.sentence(first, 2)[0]), first).split()
        meant = before[-1:] == ["not"] or (
            before[:1] == ["not"] and before[-1] in ("all", "even", "actually", "really", "quite")
        )
        if meant or row.said(end, end + 1) == "is":
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
    best = best or _where(ground, sections, names)
    best = best or next(iter(behind_leaf(ground, sections)), None)
    best = best or _there(ground, sections, names)
    if best is None:
        return []
    name = row.said(*best).removeprefix("the ")
    name = {"dominican": "dominican republic"}.get(name, name)
    small = {"and", "of", "the"}
    told = " ".join(w if w in small else w.capitalize() for w in name.split())
    return [Found("country", told, (best,))]


def where_made() -> re.Pattern[str]:
    """Words behind the name of a country that make it the country of manufacture."""
    return pattern(
        r"(?:(?:that|which|this)(?: 's| is)|is|'s) (?:the (?:country|place) )?where (?:they|it|he|"
        r"she|these|"
        r"this|the \w+)(?: 's| is| are| 're| was| were| all| both)*(?: \w+)? {facts.made}|"
        r"(?:made|rolled|built|produced)(?= and|$)|is where"
    )


def _where(
    ground: Ground, sections: Sections, names: Sequence[tuple[int, int, re.Match[str]]]
) -> tuple[int, int] | None:
    """`Costa Rica, that's where they make it`, `Nicaragua is where it's rolled`."""
    for first, end, _ in names:
        told = any(a == end for a, _, _ in ground.row.find(where_made(), end, end + 12))
        if told and sections.of(first) in ("setup", "presentation"):
            return first, end
    return None


def behind_leaf(ground: Ground, sections: Sections) -> list[tuple[int, int]]:
    """`Dominican and Honduran filler, out of the Dominican Republic`: the leaf has its origin."""
    row = ground.row
    key = pattern("{facts.leaf.wrapper}|{facts.leaf.binder}|{facts.leaf.filler}")
    origin = pattern("{facts.leaf.origin}")
    found = []
    for _, end, match in row.find(pattern("(?:all )?(?:from|out of) (?P<name>{facts.country})")):
        first = row.span(match.start(), match.end())[0]
        name = row.span(*match.span("name"))[0]
        if sections.of(first) != "setup":
            continue
        keyed = next((a for a, b, _ in row.find(key, max(first - 4, 0), first) if b == first), None)
        grown = keyed is not None and any(
            b == keyed and not pattern("{facts.country}").fullmatch(m[0])
            for _, b, m in row.find(origin, max(keyed - 4, 0), keyed)
        )
        if grown:
            found.append((name, end))
            found.append((name + (row.words[name].lower == "the"), end))
    return found


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
