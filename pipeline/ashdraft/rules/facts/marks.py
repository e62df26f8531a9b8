"""Spoken marks: which thing got which figure, out of how many, the last word counting."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ...model import Mark
from .. import data
from ..ground import Ground
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP
from .figures import Figure, common_scale, find_figures
from .found import Sections, corrects

_SAME = {
    "look": "looks", "value for money": "value", "build quality": "build", "burning": "burn",
    "burn quality": "burn",
}  # fmt: skip
"""Other words for an item that reviewers mark under one name."""

_REACH = 32
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
    "number figure scores marks stays still only".split()
)


_HANDS = frozenset(("give", "gives", "'s", "is", "say", "at", "a", "an", "it", "gets"))

_HANDLING = frozenset(
    "touched relight relights relit torch torched corrected correction corrections".split()
)
"""Where these stand between an item and a figure, the figure counts them."""


_ON = frozenset("and but because so is was i since as out on of then too no not to it with that's".split())
"""Words that may follow an item that was just marked."""


@dataclass(frozen=True, slots=True)
class _Item:
    name: str
    first: int
    end: int
    rare: bool


def read_marks(ground: Ground, placed: Sequence[Placed]) -> tuple[Mark, ...]:
    """The marks, one an item, in the order their items were first marked."""
    sections = Sections(ground, placed)
    figures = find_figures(ground)
    items = _items(ground, figures)
    scale = common_scale(ground, figures)
    items = [i for i in items if not i.rare or _at_once(ground, i, figures)]
    marks: dict[str, Mark] = {}
    used: set[int] = set()
    sure = scale is not None
    for n, item in enumerate(items):
        figure = _figure(ground, items, n, figures, scale)
        if figure is None or sections.of(figure.first) == "setup":
            continue
        kept = marks.get(item.name)
        own = figure.scale or scale or (kept.scale if kept else None)
        used.add(figure.first)
        marks[item.name] = Mark(item.name, figure.value, own, ground.line_id(figure.first))
        sure = sure or figure.told
    free = [f for f in figures if f.first not in used]
    if "overall" not in marks and (whole := _unnamed(ground, sections, items, free, scale)):
        marks["overall"] = whole
        sure = True
    if not sure and len(marks) < 2 and "overall" not in marks:
        return ()
    return tuple(marks.values())


def _unnamed(
    ground: Ground,
    sections: Sections,
    items: list[_Item],
    figures: list[Figure],
    scale: float | None,
) -> Mark | None:
    """The mark for the whole said without a word for it: `So, four out of five.`"""
    row = ground.row
    asks = pattern("{facts.mark-talk}")
    best: Figure | None = None
    for figure in figures:
        line = row.words[figure.first].line
        if sections.of(figure.first) != "verdict" or ground.scope.elsewhere(figure.first):
            continue
        if (scale and figure.value > scale) or _refused(ground, figure) or _soft(ground, figure):
            continue
        if best and scale and abs(figure.value - best.value) > 0.3 * scale:
            continue
        start, end = row.sentence(figure.first, _REACH)
        if any(start <= i.first < end for i in items):
            continue
        near = row.firsts[max(line - 1, 0)]
        opens = figure.first - start <= 2 or figure.first - row.firsts[line] <= 2
        talked = any(True for _ in row.find(asks, near, figure.first))
        if figure.told or (opens and talked) or (
            best and scale and (corrects(ground, best.end, figure.first, reach=10) or (
                opens and row.words[best.first].line >= line - 1 and _alone(ground, figure)))
        ):  # fmt: skip
            best = figure
        elif scale and talked and _alone(ground, figure) and _scaled(ground, start, figure.first):
            best = figure
    if best is None:
        return None
    return Mark("overall", best.value, best.scale or scale, ground.line_id(best.first))


def _alone(ground: Ground, figure: Figure) -> bool:
    """True where a pause, or `is fair`, `it is`, follows a figure."""
    row = ground.row
    end = figure.end >= len(row.words) or row.words[figure.end].gap > 0
    return end or row.said(figure.end, figure.end + 1) in ("is", "it", "and", "because", "for", "i")


def _scaled(ground: Ground, first: int, end: int) -> bool:
    """True where `out of a hundred` stands before the figure."""
    return any(True for _ in ground.row.find(pattern(r"out of (?:a )?[^ ]+"), first, end))


def _items(ground: Ground, figures: list[Figure]) -> list[_Item]:
    """The words that may be marked, in order, none inside another."""
    row = ground.row
    apart = r"(?! like| as if| for (?:a|the)\b| out for| time| of (?!it\b|the cigar|the whole))"
    verb = {"at", "for", "great", "good", "nice", "fine", "lovely", "decent", "the", "pretty", "like"}
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
        if _headed(ground, item) or any(
            f.told and f.first == item.end for f in figures
        ):
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
    return before not in _AFTER or row.said(at - 2, at) in (
        "terms of", "matter of", "side of", "back to", "correction to", "change to",
    )  # fmt: skip


def _at_once(ground: Ground, item: _Item, figures: list[Figure]) -> bool:
    """True where a rare item has its figure right beside it."""
    row = ground.row
    for figure in figures:
        if item.end <= figure.first <= item.end + 6:
            words = row.said(item.end, figure.first).split()
            near = all(w in _LIGHT for w in words)
            alone = figure.end >= len(row.words) or row.words[figure.end].gap > 0
            opens = row.words[item.first].gap > 0 or row.said(item.first - 2, item.first) == "and the"
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
    if item.name == "overall" and item.first == figure.end and figure.told:
        own_figure = any(n in ground.starts for n in range(item.end, item.end + 6))
        return ground.row.words[item.first].gap < STOP and not own_figure
    if not 0 < item.first - figure.end <= 4 or ground.row.words[figure.end].gap == STOP:
        return False
    between = ground.row.said(figure.end, item.first)
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


def _figure(
    ground: Ground, items: list[_Item], n: int, figures: list[Figure], scale: float | None
) -> Figure | None:
    """The figure given to an item, the last one where the speaker changes it."""
    item = items[n]
    ahead = next((i.first for i in items[n + 1 :]), len(ground.row.words))
    stop = min(_reach(ground, item), ahead)
    best: Figure | None = next(
        (f for f in figures if _for_item(ground, f, item) and not _refused(ground, f)), None
    )
    for figure in figures:
        if not item.end <= figure.first < stop:
            continue
        if any(_for_item(ground, figure, i) for i in items[n + 1 : n + 3]):
            continue
        if (scale and figure.value > scale) or ground.scope.elsewhere(figure.first):
            continue
        if _refused(ground, figure):
            continue
        if best is None:
            if _given(ground, item, figure):
                best = figure
        elif (
            _told(ground, item, figure)
            or _but(ground, figure)
            or (_soft(ground, best) and _closes(ground, best, figure))
            or corrects(ground, best.end, figure.first)
        ):
            best = Figure(
                figure.value, figure.scale or best.scale, figure.first, figure.end, best.told
            )
    return best


_AT_MOST = re.compile(
    r"\b(?:(?:can|could|will|would|did|do|dare|must|should|may) not|never|not|hardly)(?: (?:really|"
    r"honestly|fairly|possibly|quite))?(?: (?:go|give|score|put|rate|mark|push|get|justify|see|have))?"
    r"(?: (?:it|this|that|her|him|them|myself|to|the \w+))*"
    r" (?:above|over|past|beyond|higher than|better than|more than|further than|any higher than|north of)"
    r"(?: (?:a|an|the))?$"
)
"""`I can't go above a six`: six is what it gets."""


def _soft(ground: Ground, figure: Figure) -> bool:
    """A figure only remembered: `I'd written nine`, `I said thirteen`."""
    before = ground.row.said(max(figure.first - 6, 0), figure.first)
    soft = pattern("(?:.* )?{facts.mark-first}(?: it| that| them)?(?: a| an| as| at| for| the| down)*")
    return soft.fullmatch(before) is not None


def _closes(ground: Ground, old: Figure, new: Figure) -> bool:
    """True where a figure ends the sentence of an older one, or follows it with `so`, `now`."""
    row = ground.row
    first, end = row.sentence(old.first, _REACH)
    last = new.end >= len(row.words) or row.words[new.end].gap > 0
    turned = re.search(r"\b(?:but|though|now|reflection)\b", row.said(old.end, new.first))
    return first <= new.first < end and (bool(turned) or (last and row.words[new.first].gap > 0))


def _but(ground: Ground, figure: Figure) -> bool:
    """`..., but eight`."""
    return ground.row.said(figure.first - 1, figure.first) == "but"


def _reach(ground: Ground, item: _Item) -> int:
    """How far figures after an item may stand: its sentence, and those that go on with it."""
    row = ground.row
    end = item.end
    on = frozenset(
        "no update correction revised make well actually scratch or wait so call sorry i 'd let "
        "but that for recount final".split()
    )
    while end < len(row.words) and end - item.first < _REACH:
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
    "no correction scratch wait actually make sorry well hmm recount update final revised but".split()
)
"""A sentence that opens with these may put the mark before it right."""


def _told(ground: Ground, item: _Item, figure: Figure) -> bool:
    """True where the words before a figure hand it out: `so, nine`, `call it an eight`."""
    before = ground.row.said(max(figure.first - 5, item.end), figure.first)
    said = pattern("(?:.* )?{facts.mark-said}(?: a| an| the| just| only| about| to| maybe)*")
    moved = re.search(r"\b(?:it|that|this|them|her|him) (?:down |up |back )*to(?: a| an| the)?$", before)
    price = item.name in ("value", "price") and before.endswith("at")
    return figure.told or bool(moved) or (bool(said.fullmatch(before)) and not price)


def _given(ground: Ground, item: _Item, figure: Figure) -> bool:
    """True where the words between an item and a figure give the one to the other."""
    row = ground.row
    words = row.said(item.end, figure.first).split()
    said = " ".join(words)
    if _HANDLING & set(words) or "touch up" in said:
        return False
    if _AT_MOST.search(row.said(max(figure.first - 9, 0), figure.first)):
        return True
    if not words or _told(ground, item, figure):
        return not (words and words[-1] == "at" and item.name == "value")
    if all(w in _LIGHT for w in words) and len(words) <= 9:
        return not (words[-1] == "at" and item.name == "value")
    first, end = row.sentence(item.first, _REACH)
    heads = item.first - first <= 3
    if len(words) == 1 and figure.end < len(row.words) and row.words[figure.end].gap:
        return words[0] not in ("at", "in", "after", "with", "around", "every", "another")
    last = figure.end >= len(row.words) or row.words[figure.end].gap == STOP
    return heads and last and figure.first < end and words[-1] != "at"


def _refused(ground: Ground, figure: Figure) -> bool:
    """True for a figure named only to be turned down."""
    row = ground.row
    first = max(figure.first - 4, 0)
    before = row.said(first, figure.first)
    after = row.said(figure.end, figure.end + 3)
    if _AT_MOST.search(row.said(max(figure.first - 9, 0), figure.first)):
        return False
    refused = pattern("{facts.mark-refused}(?: a| an| the| of| to| for)*")
    tail = next((m for m in refused.finditer(before) if m.end() == len(before)), None)
    if tail and not (
        tail[0].split()[0] == "no" and not before.endswith(("it 's no", "is no", "'s no"))
    ):
        return True
    return after.startswith(
        (
            "refused",
            "denied",
            "would be",
            "is too",
            "i had",
            "i 'd had",
            "i 'd written",
            "i was going",
        )
    )
