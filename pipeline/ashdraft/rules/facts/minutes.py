"""Smoking time in minutes, as the speaker sums it up."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ..ground import Ground
from ..numbers import Number
from ..phrases import pattern
from .found import Found, Sections, corrects

SHORTEST, LONGEST = 10.0, 300.0
"""Plausible smoking times in minutes (common practice, no source)."""

_PART = pattern(
    r"(?:in|left|later|ago|apart|past|before|of (?:peace|rain)|or so in|to go|down|without|on|"
    r"after (?:lighting|that|it)|between|more(?! like)|late|early|for (?:lunch|tea)|into|old)"
)
_SETTLED = (
    r"i 'd say|i would say|i 'll say|i say|go with|went with|settled? (?:on|at|for)|"
    r"leave it at|put (?:it |me )?down (?:as|for)|i make it|make it|stick with|let 's go|we 'll say"
)
"""Between two times these give the second as the one that holds."""

_MENDED = pattern(
    r"no|so|therefore|wait|rather|sorry|call it|make it|ish|minus|less|well|let 's say|says|say|"
    r"that is|that 's|which is|more like|correction|make that|take off|take away|knock off|leaves|"
    rf"{_SETTLED}"
)
_PARDON = pattern(
    r"(?:i )?beg (?:your )?pardon|pardon(?: me)?|excuse me|my mistake|i lie|(?:i )?tell a lie|"
    r"actually|hang on|hold on|scratch that|not|oops|i mean"
)
_ANEW = pattern(
    rf"(?:no|wait|sorry|rather|actually|so|make it|call it|{_SETTLED})(?: it 's| that 's| it is)?"
)
_TAKES_BACK = frozenset("no sorry wait rather actually correction oops".split())
"""At the end of a line: the figure that opens the next one puts right."""

_GOES_ON = frozenset("i because since as if with once when all but we".split())
_UNIT_OR_ON = frozenset("minutes minute and it by near or in".split())
"""What may follow a bare figure that puts a time right."""

_SHOWN = pattern(
    r"(?:on|by|according to) (?:the|my|his|her) (?:timer|clock|watch|stopwatch|phone|recorder|"
    r"counter|kitchen timer|kitchen clock|stop watch)|(?:from )?(?:start|light|match|first light|"
    r"end|beginning|lighting) to (?:finish|nub|stub|end|last|put down|ashtray)|all (?:told|in)|"
    r"in (?:all|total)|altogether|total"
)
"""Behind a time these make it the whole smoke."""

_SOME = frozenset("last final first next another every these those past".split())
"""Before a time these make it a part of the smoke."""

_AT = frozenset(
    "at after within inside every about another next first last for in of spacing by opening "
    "these those past".split()
)


@dataclass(frozen=True, slots=True)
class Time:
    """A duration in words `first` up to `end`."""

    minutes: float
    first: int
    end: int


def read_minutes(ground: Ground, sections: Sections) -> list[Found]:
    """`smoking_minutes`: said when the stick is down, or as a sum over the whole smoke."""
    best: tuple[float, Time] | None = None
    times = find_times(ground)
    told = pattern("{facts.smoking-time}")
    for time in times:
        weight = _weight(ground, sections, time, told)
        if weight is None:
            continue
        if best is None or weight > best[0] + 0.5:
            best = weight, time
        elif time.minutes != best[1].minutes and _mends(ground, best[1], time):
            best = best[0], time
    if best is None:
        return []
    final = _bare(ground, best[1])
    value = round(final.minutes)
    return [Found("smoking_minutes", value, ((best[1].first, final.end),))]


def _mends(ground: Ground, old: Time, new: Time) -> bool:
    """A later time in the same breath: corrected, or worked out (`less five, so eighty-five`)."""
    if corrects(ground, old.end, new.first, reach=22):
        return True
    between = ground.row.said(old.end, new.first)
    so = pattern(
        r"so|therefore|makes|leaves|which is|let 's say|call it|a little more|a bit more|"
        + _SETTLED
    )
    return new.first - old.end <= 12 and bool(so.search(between))


def find_times(ground: Ground) -> list[Time]:
    """Durations in hours and minutes, in order."""
    row = ground.row
    found: list[Time] = []
    at = 0
    while at < len(row.words):
        time = _hours(ground, at) or _plain(ground, at)
        if time:
            found.append(time)
            at = time.end
        else:
            at += 1
    return found


def _hours(ground: Ground, at: int) -> Time | None:
    """`an hour and a quarter`, `one hour ten`, `two hours`, `half an hour`, `hour five`."""
    row = ground.row
    number = ground.starts.get(at)
    word = row.words[at].lower
    if number and number.value is not None and number.form != "ordinal":
        hours, end = number.value, number.end
        if number.form == "fraction":
            end += row.said(end, end + 1) == "of"
            end += row.said(end, end + 1) in ("an", "a")
        if row.said(end, end + 1) not in ("hour", "hours"):
            return None
        end += 1
    elif word in ("an", "a", "one", "hour") or (
        word == "the" and row.said(at + 1, at + 2) == "hour"
    ):
        end = at + (word != "hour")
        skip = row.said(end, end + 1) in ("good", "full", "whole", "solid")
        end += skip
        if row.said(end, end + 1) != "hour":
            return None
        hours, end = 1.0, end + 1
    else:
        return None
    if word == "the":
        return Time(60.0, at, end)
    minutes, end = _rest(ground, end)
    return Time(hours * 60 + minutes, at, end)


def _rest(ground: Ground, end: int) -> tuple[float, int]:
    """Minutes after the hours: `and a half`, `twenty`, `and five minutes`."""
    row = ground.row
    if end < len(row.words) and row.words[end].gap:
        return 0.0, end
    at = end + (row.said(end, end + 1) == "and")
    number = ground.starts.get(at)
    if number is None or number.value is None or number.form == "ordinal":
        return 0.0, end
    if number.form == "fraction" and at > end and number.value < 1:
        return number.value * 60, number.end
    follows = row.said(number.end, number.end + 1)
    if number.form in ("whole", "one") and 0 < number.value < 60:
        if follows in ("minute", "minutes"):
            return number.value, number.end + 1
        if at == end or follows not in ("dollars", "touch", "relight", "relights", "percent"):
            return number.value, number.end
    return 0.0, end


def _plain(ground: Ground, at: int) -> Time | None:
    number = ground.starts.get(at)
    if number is None or number.value is None or number.form in ("ordinal", "clock"):
        return None
    end = number.end + (
        ground.row.said(number.end, number.end + 1) in ("odd", "or", "full", "good")
    )
    if ground.row.said(end, end + 1) not in ("minutes", "minute", "min", "mins"):
        return None
    return Time(number.value, at, end + 1)


def _weight(ground: Ground, sections: Sections, time: Time, told: re.Pattern[str]) -> float | None:
    """How surely a time is the whole smoke; None when it is not."""
    row = ground.row
    if not SHORTEST <= time.minutes <= LONGEST or ground.scope.elsewhere(time.first, time.end):
        return None
    section = sections.of(time.first)
    if section not in ("burn", "verdict", "palate", "presentation", None):
        return None
    behind = row.said(time.end, time.end + 2)
    shown = any(a == time.end for a, _, _ in row.find(_SHOWN, time.end, time.end + 5))
    part = any(a == time.end for a, _, _ in row.find(_PART, time.end, time.end + 3))
    before = row.said(time.first - 1, time.first)
    if (part and not shown) or before in _SOME:
        return None
    sentence = row.sentence(time.first, 16)
    cue = shown or any(True for _ in row.find(told, sentence[0], time.first))
    alone = time.first == sentence[0] or row.words[time.first].gap > 0
    if before in _AT and not cue and not row.words[time.first].gap:
        return None
    whole = sections.third(time.first) is None
    weight = 0.5 * alone + 1.5 * cue
    if section == "burn":
        weight += 1.0 + 1.5 * whole
    if sections.current(time.first) == 4:
        weight += 1.0
    if before in ("quite", "under", "not", "short", "of", "over"):
        weight -= 1.0
    if behind.startswith(("of ", "a ")) and not behind.startswith(("a slow", "of smoking")):
        weight -= 0.5
    return weight if weight >= 1.5 else None


def _bare(ground: Ground, time: Time) -> Time:
    """Bare numbers that correct the time: `fifty, no, forty-nine`, `less two, so forty-eight`."""
    row = ground.row
    best = time
    for number in ground.numbers_in(time.end, time.end + 26):
        line = row.words[number.first].line
        if line != row.words[best.end - 1].line and number.first - best.end > 10:
            break
        hours = row.said(number.first - 1, number.first) in ("hour", "hours")
        if hours or not _mending(ground, best, number):
            continue
        minutes = number.value or 0.0
        end = number.end
        if row.said(end, end + 1) in ("minutes", "minute"):
            end += 1
        if best.minutes >= 60 and minutes < 10:
            continue
        best = Time(minutes, best.first, end)
    return best


def _mending(ground: Ground, time: Time, number: Number) -> bool:
    row = ground.row
    if number.form not in ("whole", "decimal") or number.value is None:
        return False
    if not SHORTEST <= number.value <= LONGEST:
        return False
    follows = row.said(number.end, number.end + 1)
    alone = number.end >= len(row.words) or row.words[number.end].gap > 0 or (
        row.words[number.end].line != row.words[number.end - 1].line
    )  # fmt: skip
    between = row.said(time.end, number.first)
    sure = _ANEW.search(between) is not None and follows in _GOES_ON
    if not (alone or sure or follows in _UNIT_OR_ON):
        return False
    line = row.firsts[row.words[number.first].line]
    if line >= time.end:  # another line has to begin by putting right
        opening = row.said(line, number.first)
        begun = number.first == line and row.said(line - 1, line) in _TAKES_BACK
        mended = _MENDED.match(opening) or _PARDON.match(opening)
        if number.first - line > 8 or not (mended or begun):
            return False
        if any(True for _ in row.find(pattern("{facts.item}"), line, number.first)):
            return False  # "for burn, thirteen"
    if pattern(r"(?:\w+ )*(?:less|minus|take off|subtract|take away)(?: the| about)?").fullmatch(
        between
    ):
        return False
    words = between.split()
    return len(words) <= 22 and bool(_MENDED.search(between) or _PARDON.search(between))
