"""Spoken marks: which thing got which figure, out of how many, the last word counting."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ...model import Mark
from .. import data
from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from ..place.model import Placed
from ..stream import STOP
from .found import Sections, corrects
from .minutes import find_times

_UNITS = frozenset(
    "minutes minute hours hour inches inch mm cm centimeters millimeters touch relight relights "
    "times puffs puff weeks week days day months sticks stick cigars dollars pounds euros euro "
    "pound francs rand bucks cents veins vein layers wraps bands thirds third degrees grams of "
    "by corrections side sides fingers o'clock seconds notes things words more draws box boxes "
    "per years year pesos rupees crowns in hundred to different big little small good rings "
    "pulls tries matches people fixes x until after before or odd ish times' other cut cuts "
    "each apiece percent away back".split()
)
_SCALES = (3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30, 50, 100)
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
    "is are were 're 's a an the i i'd i'll 'd 'll will would call it give gives gets for of on to was well "
    "then also too and so maybe probably about say let me see oh do not know yes right now that "
    "one go going at its her his my 'm saying think be have has been just pretty much easily "
    "considered separately department you if strict putting put down as what okay perhaps "
    "here again this by solid strong firm clean good fair generous cool easy clear mark score number figure scores marks stays still only".split()
)


_HANDS = frozenset(("give", "gives", "'s", "is", "say", "at", "a", "an", "it", "gets"))

_HANDLING = frozenset(
    "touch touched relight relights relit torch torched corrected correction corrections".split()
)
"""Where these stand between an item and a figure, the figure counts them."""


@dataclass(frozen=True, slots=True)
class _Figure:
    """A number that could be a mark; `told` where a scale or unit of marks stands with it."""

    value: float
    scale: float | None
    first: int
    end: int
    told: bool


@dataclass(frozen=True, slots=True)
class _Item:
    name: str
    first: int
    end: int
    rare: bool


def read_marks(ground: Ground, placed: Sequence[Placed]) -> tuple[Mark, ...]:
    """The marks, one an item, in the order their items were first marked."""
    sections = Sections(ground, placed)
    lasting = {n for time in find_times(ground) for n in range(time.first, time.end)}
    figures = [
        f for n in ground.numbers if n.first not in lasting and (f := _reading(ground, n))
    ]
    items = _items(ground)
    scale = _common_scale(ground, figures)
    items = [i for i in items if not i.rare or _at_once(ground, i, figures)]
    marks: dict[str, Mark] = {}
    sure = scale is not None
    for n, item in enumerate(items):
        figure = _figure(ground, items, n, figures, scale)
        if figure is None or sections.of(figure.first) == "setup":
            continue
        kept = marks.get(item.name)
        own = figure.scale or scale or (kept.scale if kept else None)
        marks[item.name] = Mark(item.name, figure.value, own, ground.line_id(figure.first))
        sure = sure or figure.told
    if not sure and len(marks) < 2 and "overall" not in marks:
        return ()
    return tuple(marks.values())


def _items(ground: Ground) -> list[_Item]:
    """The words that may be marked, in order, none inside another."""
    row = ground.row
    apart = r"(?! like| as if| for (?:a|the)\b| out for| time| of (?!it\b|the cigar|the whole))"
    found = [
        _Item("overall", a, b, False)
        for a, b, _ in row.find(pattern("{facts.item.overall}"))
    ]
    for cue, rare in (("facts.item", False), ("facts.item.rare", True)):
        for a, b, m in row.find(pattern(f"{{{cue}}}{apart}")):
            if m[0] not in ("look", "looks") or row.said(b, b + 1) not in ("at", "for"):
                found.append(_Item(_SAME.get(m[0], m[0]), a, b, rare))
    found.sort(key=lambda i: (i.first, -i.end))
    kept: list[_Item] = []
    for item in found:
        if (kept and item.first < kept[-1].end) or not _headed(ground, item):
            continue
        kept.append(item)
    return kept


def _headed(ground: Ground, item: _Item) -> bool:
    """True unless the item stands in passing: `it opened up after the band`."""
    row = ground.row
    at = item.first
    while at > 0 and not row.words[at].gap and row.words[at - 1].lower in (
        "the", "its", "a", "my", "this", "'s", "own",
    ):  # fmt: skip
        at -= 1
    if at == 0 or row.words[at].gap or row.words[at].line != row.words[at - 1].line:
        return True
    before = row.words[at - 1].lower
    return before not in _AFTER or row.said(at - 2, at) in (
        "terms of", "matter of", "side of", "back to", "correction to", "change to",
    )  # fmt: skip


def _reading(ground: Ground, number: Number) -> _Figure | None:
    """The mark a number may be, with its scale when that is said."""
    row = ground.row
    value = number.value
    if number.form == "row" and len(set(number.parts)) == 1:
        value = number.parts[0]  # "eighty, eighty-eight" over a cut is not settled, a repeat is
    if value is None or number.form in ("ordinal", "clock") or not 0 <= value <= 100:
        return None
    end, scale = number.end, None
    if number.form == "fraction":
        top, _, below = row.words[number.first].lower.partition("/")
        if not below or int(below) not in _SCALES:
            return None
        value, scale = float(top), float(below)
    at, told = end, False
    unit = "" if end < len(row.words) and row.words[end].gap else row.said(end, end + 1)
    if unit in ("stars", "star", "points", "marks", "point"):
        at, told = end + 1, True
    elif unit == "percent" or row.said(end, end + 2) == "per cent":
        scale, at = 100.0, end + (1 if unit == "percent" else 2)
        if row.said(at, at + 1) in ("more", "less", "off", "humidity", "sweeter"):
            return None
    elif unit in _UNITS and unit not in ("of", "x", "by"):
        return None
    if out := _out_of(ground, at, value):
        scale, at = out
    elif unit in ("of", "x", "by"):
        return None
    told = told or scale is not None
    if (number.form == "one" or value == 1) and not told:
        return None
    return _Figure(value, scale, number.first, max(at, end), told)


def _out_of(ground: Ground, at: int, value: float) -> tuple[float, int] | None:
    """The scale behind a figure: `out of ten`, `of twenty`, `from five`."""
    row = ground.row
    if row.said(at + 1, at + 3) == "out of":
        at += 1  # "three corks out of five"
    for first, end, match in row.find(pattern(r"out of|from|of|over"), at, at + 4):
        number = ground.starts.get(end)
        if first != at or number is None or number.value not in _SCALES:
            continue
        if number.value is not None and number.value >= value:
            unit = row.said(number.end, number.end + 1)
            if match[0].startswith("out") or unit not in _UNITS:
                return number.value, number.end
    return None


def _common_scale(ground: Ground, figures: list[_Figure]) -> float | None:
    """The scale of the recording: the one said with the marks, or in so many words."""
    said: defaultdict[float, float] = defaultdict(float)
    for figure in figures:
        if figure.scale is not None:  # a percent is as often a humidity: it only breaks a tie
            said[figure.scale] += 0.01 if figure.scale == 100 else 1
    row = ground.row
    words = pattern(
        r"out of|(?:mark|marks|score|rate|marking|scoring) (?:to|from|on|over)|scale (?:of|to|is|from one to|of one to|from zero to)|one to|zero to"
    )
    about = pattern(
        r"scores?|scoring|scored?|marks?|marking|stars?|ratings?|rate|numbers?|points?|scale|do it|"
        r"doing it|ladles"
    )
    best = pattern(
        r"(?:[^ ]+ )?(?:is|being|'s|are) (?:the )?(?:perfect|best|top|full|maximum|most|highest|ceiling)"
    )
    for number in ground.numbers:
        top = any(a == number.end for a, _, _ in row.find(best, number.end, number.end + 6))
        if top and number.value in _SCALES:
            said[float(number.value or 0)] += 1
    for first, end, match in row.find(words):
        number = ground.starts.get(end)
        if number is None or number.value not in _SCALES:
            continue
        near = any(True for _ in row.find(about, max(first - 12, 0), min(end + 8, len(row.words))))
        unit = row.said(number.end, number.end + 1) in _UNITS
        if near or (match[0].startswith("out of") and not unit and (number.value or 0) >= 5):
            said[float(number.value or 0)] += 1
    return max(said, key=lambda scale: said[scale]) if said else None


def _at_once(ground: Ground, item: _Item, figures: list[_Figure]) -> bool:
    """True where a rare item has its figure right beside it."""
    row = ground.row
    for figure in figures:
        if item.end <= figure.first <= item.end + 4:
            words = row.said(item.end, figure.first).split()
            near = all(w in _LIGHT for w in words)
            alone = figure.end >= len(row.words) or row.words[figure.end].gap > 0
            if near and (figure.told or (alone and not row.words[item.first].gap == 0)):
                return True
        if _for_item(ground, figure, item) and (figure.told or figure.value > 3):
            return True
    return False


@cache
def _item_ends() -> frozenset[str]:
    """The last words of items."""
    names = (*data.cues()["facts.item"], *data.cues()["facts.item.rare"])
    return frozenset(name.split()[-1] for name in names)


def _for_item(ground: Ground, figure: _Figure, item: _Item) -> bool:
    """True for `four for the burn`, `eight for looks`, `four in the looks department`."""
    if not 0 < item.first - figure.end <= 4 or ground.row.words[figure.end].gap == STOP:
        return False
    between = ground.row.said(figure.end, item.first)
    own = ground.starts.get(item.end) or (
        ground.starts.get(item.end + 1) if ground.row.said(item.end, item.end + 1) in ("a", "an")
        else None
    )  # fmt: skip
    before = ground.row.said(figure.first - 1, figure.first)
    if own and own.form != "one" and (before in _HANDS or before in _item_ends()):
        return False  # "looks I give eight, for the taste nine"
    link = r"(?:i think |(?!and|but|then|so|while)\w+ )?(?:for|in|on)(?: the| its| her| his| my)?"
    return bool(pattern(link).fullmatch(between)) and not any(
        ground.row.words[n].gap == STOP for n in range(figure.end, item.first + 1)
    )


def _figure(
    ground: Ground, items: list[_Item], n: int, figures: list[_Figure], scale: float | None
) -> _Figure | None:
    """The figure given to an item, the last one where the speaker changes it."""
    item = items[n]
    ahead = next((i.first for i in items[n + 1 :]), len(ground.row.words))
    stop = min(_reach(ground, item), ahead)
    best: _Figure | None = next(
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
        elif _told(ground, item, figure) or corrects(ground, best.end, figure.first):
            best = _Figure(
                figure.value, figure.scale or best.scale, figure.first, figure.end, best.told
            )
    return best


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
            if further == 1 and end not in ground.starts:
                break
        end += 1
    return end


def _told(ground: Ground, item: _Item, figure: _Figure) -> bool:
    """True where the words before a figure hand it out: `so, nine`, `call it an eight`."""
    before = ground.row.said(max(figure.first - 5, item.end), figure.first)
    said = pattern("(?:.* )?{facts.mark-said}(?: a| an| the| just| only| about| to| maybe)*")
    price = item.name in ("value", "price") and before.endswith("at")
    return figure.told or (bool(said.fullmatch(before)) and not price)


def _given(ground: Ground, item: _Item, figure: _Figure) -> bool:
    """True where the words between an item and a figure give the one to the other."""
    row = ground.row
    words = row.said(item.end, figure.first).split()
    if _HANDLING & set(words):
        return False
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


def _refused(ground: Ground, figure: _Figure) -> bool:
    """True for a figure named only to be turned down."""
    row = ground.row
    first = max(figure.first - 4, 0)
    before = row.said(first, figure.first)
    after = row.said(figure.end, figure.end + 3)
    refused = pattern("{facts.mark-refused}(?: a| an| the| of| to| for)*")
    tail = next((m for m in refused.finditer(before) if m.end() == len(before)), None)
    if tail and not (tail[0].split()[0] == "no" and not before.endswith(("it 's no", "is no", "'s no"))):
        return True
    return after.startswith(("refused", "denied", "would be", "is too"))
