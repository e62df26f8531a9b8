"""Spoken marks: which thing got which figure, out of how many, the last word counting."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from ...model import Mark
from .. import data
from ..ground import Ground
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP
from .figures import Figure, common_scale, counts_things, find_figures
from .found import Sections, corrects
from .open_items import open_items
from .refused import AT_MOST, REACH, but, closes, refused, soft
from .unnamed import unnamed

_SAME = {
    "look": "looks", "value for money": "value", "build quality": "build", "burning": "burn",
    "burn quality": "burn",
}  # fmt: skip
"""Other words for an item that reviewers mark under one name."""

_AFTER = frozenset(
    "after before of from to with behind under than like around near by at through into onto "
    "looks looked look taste tastes since until without against no because while box "
    "over good easy nice tight loose that's".split()
)
"""An item word behind these is talked about in passing and not marked."""

_LIGHT = frozenset(
    "is are were 're 's a an the i i'd i'll 'd 'll will would call it give gives gets for of "
    "on to was well "
    "then also too and so maybe probably about say let me see oh do not know yes right now that "
    "one go going at its her his my 'm saying think be have has been just pretty much easily "
    "considered separately department you if strict putting put down as what okay perhaps "
    "here again this by solid strong firm clean good fair generous cool easy clear mark score "
    "number figure scores marks stays still only own always usual ever every".split()
)


_HANDS = frozenset(("give", "gives", "'s", "is", "say", "at", "a", "an", "it", "gets"))

_HANDLING = frozenset(
    "touched relight relights relit torch torched corrected correction corrections".split()
)
"""Where these stand between an item and a figure, the figure counts them."""

_MENDING = _HANDLING | frozenset(
    "fix fixed fixing correct correcting straighten straightened even evened mend mended repair "
    "repaired sort sorted".split()
)
"""What is done to the burn is no mark for it: `I had to fix the burn`."""

_TO_OVERALL = re.compile(r"(?:(?:it is|it 's|then|for it|it) ?)*")
"""What may stand between a figure and `overall`: `fourteen it is, overall`."""


_ON = frozenset(
    "and but because so is was i since as out on of then too no not to it with that's".split()
)
"""Words that may follow an item that was just marked."""


@dataclass(frozen=True, slots=True)
class _Item:
    name: str
    first: int
    end: int
    rare: bool


@dataclass(frozen=True, slots=True)
class Marks:
    """The `last` mark of each item, in the order first marked, and those it replaced, as said."""

    last: tuple[Mark, ...] = ()
    earlier: tuple[Mark, ...] = ()


def read_marks(ground: Ground, placed: Sequence[Placed]) -> Marks:
    """The marks of a recording; one put right in its own utterance was never given."""
    sections = Sections(ground, placed)
    figures = find_figures(ground)
    items = _items(ground, figures)
    scale = common_scale(ground, figures)
    opened = open_items(ground, sections, [(i.first, i.end) for i in items], figures, scale)
    items += [_Item(name, first, end, True) for name, first, end in opened]
    items.sort(key=lambda i: i.first)
    items = [i for i in items if not i.rare or _at_once(ground, i, figures)]
    given: dict[str, list[Mark]] = {}
    used: set[int] = set()
    sure = scale is not None
    for n, item in enumerate(items):
        told = _figures(ground, items, n, figures, scale)
        if not told or sections.of(told[-1].first) == "setup":
            continue
        before = given.setdefault(item.name, [])
        for figure in told:
            own = figure.scale or scale or (before[-1].scale if before else None)
            before.append(Mark(item.name, figure.value, own, ground.line_id(figure.first)))
        used.add(told[-1].first)
        sure = sure or told[-1].told
    spans = [(i.first, i.end) for i in items]
    free = [f for f in figures if f.first not in used]
    if "overall" not in given and (whole := unnamed(ground, sections, spans, free, scale)):
        given["overall"] = whole
        sure = True
    if not sure and len(given) < 2 and "overall" not in given:
        return Marks()
    last = tuple(marks[-1] for marks in given.values())
    return Marks(last, tuple(m for marks in given.values() for m in _earlier(marks)))


def _earlier(marks: Sequence[Mark]) -> list[Mark]:
    """The marks of one item that another in a later utterance replaced."""
    return [
        mark for mark, after in pairwise(marks)
        if after.utterance != mark.utterance and mark.value != marks[-1].value
    ]  # fmt: skip


def _items(ground: Ground, figures: list[Figure]) -> list[_Item]:
    """The words that may be marked, in order, none inside another."""
    row = ground.row
    apart = r"(?! like| as if| for (?:a|the)\b| out for| time| of (?!it\b|the cigar|the whole))"
    verb = {
        "at",
        "for",
        "great",
        "good",
        "nice",
        "fine",
        "lovely",
        "decent",
        "the",
        "pretty",
        "like",
    }
    found = [_Item("overall", a, b, False) for a, b, _ in row.find(pattern("{facts.item.overall}"))]
    for cue, rare in (("facts.item", False), ("facts.item.rare", True)):
        for a, b, m in row.find(pattern(f"{{{cue}}}{apart}")):
            if m[0] not in ("look", "looks") or row.said(b, b + 1) not in verb:
                found.append(_Item(_SAME.get(m[0], m[0]), a, b, rare))
    found.sort(key=lambda i: (i.first, -i.end))
    kept: list[_Item] = []
    for item in found:
        if kept and item.first < kept[-1].end:
            continue
        if _headed(ground, item) or any(f.told and f.first == item.end for f in figures):
            kept.append(item)
    return kept


def _headed(ground: Ground, item: _Item) -> bool:
    """True unless the item stands in passing: `it opened up after the band`."""
    row = ground.row
    at = item.first
    while at > 0 and not row.words[at].gap and row.words[at - 1].lower in (
        "the", "its", "a", "my", "this", "that", "'s", "own",
    ):  # fmt: skip
        at -= 1
    if at == 0 or row.words[at].gap or row.words[at].line != row.words[at - 1].line:
        return True
    before = row.words[at - 1].lower
    if row.said(item.end - 2, item.end) in ("my taste", "your taste", "his taste", "her taste"):
        return False  # "a bit loose for my taste"
    if before in _MENDING and item.name.startswith("burn"):
        return False  # "I had to fix the burn"
    return before not in _AFTER or row.said(at - 2, at) in (
        "terms of", "matter of", "side of", "back to", "correction to", "change to",
    )  # fmt: skip


def _at_once(ground: Ground, item: _Item, figures: list[Figure]) -> bool:
    """True where a rare item has its figure right beside it."""
    row = ground.row
    for figure in figures:
        if item.end <= figure.first <= item.end + 10:
            words = row.said(item.end, figure.first).split()
            near = all(w in _LIGHT for w in words)
            alone = figure.end >= len(row.words) or row.words[figure.end].gap > 0
            at = item.first - (row.said(item.first - 1, item.first) in ("the", "its"))
            opens = (
                at == 0
                or row.words[at].gap > 0
                or row.words[at].line != row.words[at - 1].line
                or row.said(item.first - 2, item.first) == "and the"
            )
            if near and (figure.told or (alone and opens)):
                return True
        if _for_item(ground, figure, item) and (figure.told or figure.value > 3):
            return True
    return False


@cache
def _item_ends() -> frozenset[str]:
    """The last words of items."""
    names = (*data.cues()["facts.item"], *data.cues()["facts.item.rare"])
    return frozenset(name.split()[-1] for name in names)


def _for_item(ground: Ground, figure: Figure, item: _Item) -> bool:
    """True for `four for the burn`, `four in the looks department`, `eight overall`."""
    between = ground.row.said(figure.end, item.first)
    near = 0 <= item.first - figure.end <= 4
    if item.name == "overall" and near and _TO_OVERALL.fullmatch(between):
        own_figure = any(
            n in ground.starts and not re.search(r"\bout of(?: a)?$", ground.row.said(n - 3, n))
            for n in range(item.end, item.end + 6)
        )
        given = ground.row.said(figure.first - 1, figure.first)
        sure = figure.told or (figure.value > 2 and given not in _item_ends())
        return ground.row.words[item.first].gap < STOP and not own_figure and sure
    if not 0 < item.first - figure.end <= 4 or ground.row.words[figure.end].gap == STOP:
        return False
    after = ground.row.words[item.end] if item.end < len(ground.row.words) else None
    if item.rare and after and not after.gap and after.lower not in _ON:
        return False  # "eighty-one, for nose work"
    own = ground.starts.get(item.end) or (
        ground.starts.get(item.end + 1) if ground.row.said(item.end, item.end + 1) in ("a", "an")
        else None
    )  # fmt: skip
    before = ground.row.said(figure.first - 1, figure.first)
    onward = (
        own is not None and own.first > item.end  # "an eight for flavour, a six for burn"
        and ground.row.said(own.end, own.end + 1) in ("for", "in", "on")
    )  # fmt: skip
    if own and own.form != "one" and not onward and (before in _HANDS or before in _item_ends()):
        return False  # "looks I give eight, for the taste nine"
    link = r"(?:i think |(?!and|but|then|so|while)\w+ )?(?:for|in|on)(?: the| its| her| his| my)?"
    return bool(pattern(link).fullmatch(between)) and not any(
        ground.row.words[n].gap == STOP for n in range(figure.end, item.first + 1)
    )


def _over(figure: Figure, scale: float | None) -> bool:
    """True for a figure beyond its own scale or that of the recording."""
    most = figure.scale or scale
    return most is not None and figure.value > most


def _figures(
    ground: Ground, items: list[_Item], n: int, figures: list[Figure], scale: float | None
) -> list[Figure]:
    """The figures given to an item one after the other: the last one holds."""
    item = items[n]
    ahead = next((i.first for i in items[n + 1 :]), len(ground.row.words))
    stop = min(_reach(ground, item), ahead)
    best: Figure | None = next(
        (
            f for f in figures
            if _for_item(ground, f, item) and not refused(ground, f) and not _over(f, scale)
        ),
        None,
    )  # fmt: skip
    told = [best] if best else []
    for figure in figures:
        if not item.end <= figure.first < stop:
            continue
        if any(_for_item(ground, figure, i) for i in items[n + 1 : n + 3]):
            continue
        if _over(figure, scale) or ground.scope.elsewhere(figure.first):
            continue
        if refused(ground, figure):
            continue
        if best is None:
            if _given(ground, item, figure):
                best = figure
                told.append(best)
        elif not counts_things(ground, figure) and (
            _told(ground, item, figure)
            or but(ground, figure)
            or (soft(ground, best) and closes(ground, best, figure))
            or corrects(ground, best.end, figure.first)
        ):
            best = Figure(
                figure.value, figure.scale or best.scale, figure.first, figure.end, best.told
            )
            told.append(best)
    return told


def _reach(ground: Ground, item: _Item) -> int:
    """How far figures after an item may stand: its sentence, and those that go on with it."""
    row = ground.row
    end = item.end
    on = frozenset(
        "no update correction revised make well actually scratch or wait so call sorry i 'd let "
        "but that for recount final".split()
    )
    while end < len(row.words) and end - item.first < REACH:
        if row.words[end].gap == STOP:
            further = row.words[end].line - row.words[item.first].line
            if further > 1 or not (end in ground.starts or row.words[end].lower in on):
                break
            taken_back = row.words[end].lower in _TAKES_BACK
            if further == 1 and end not in ground.starts and not taken_back:
                break
        end += 1
    return end


_TAKES_BACK = frozenset(
    "no correction scratch wait actually make sorry well hmm recount update final revised "
    "but".split()
)
"""A sentence that opens with these may put the mark before it right."""


def _told(ground: Ground, item: _Item, figure: Figure) -> bool:
    """True where the words before a figure hand it out: `so, nine`, `call it an eight`."""
    before = ground.row.said(max(figure.first - 5, item.end), figure.first)
    said = pattern("(?:.* )?{facts.mark-said}(?: a| an| the| just| only| about| to| maybe)*")
    moved = re.search(
        r"\b(?:it|that|this|them|her|him) (?:down |up |back )*to(?: a| an| the)?$", before
    )
    price = item.name in ("value", "price") and before.endswith("at")
    return figure.told or bool(moved) or (bool(said.fullmatch(before)) and not price)


def _given(ground: Ground, item: _Item, figure: Figure) -> bool:
    """True where the words between an item and a figure give the one to the other."""
    row = ground.row
    words = row.said(item.end, figure.first).split()
    said = " ".join(words)
    if _HANDLING & set(words) or "touch up" in said:
        return False
    if AT_MOST.search(row.said(max(figure.first - 9, 0), figure.first)):
        return True
    if not words or _told(ground, item, figure):
        return not (words and words[-1] == "at" and item.name == "value")
    if all(w in _LIGHT for w in words) and len(words) <= 9:
        return not (words[-1] == "at" and item.name == "value")
    first, end = row.sentence(item.first, REACH)
    heads = item.first - first <= 3
    if len(words) == 1 and figure.end < len(row.words) and row.words[figure.end].gap:
        return words[0] not in ("at", "in", "after", "with", "around", "every", "another")
    last = figure.end >= len(row.words) or row.words[figure.end].gap == STOP
    return heads and last and figure.first < end and words[-1] != "at"
