"""Moments said as they happen: lit, ash drop, band off, thirds begun, put down."""

from __future__ import annotations

import re

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP
from .model import Mention
from .mood import mood

_NEGATED = re.compile(r"\b(?:not|never|no|without|cannot|nearly|almost|wo|will|'ll|should|if|until|"
                      r"before|how|going to|about to|gonna|let me|try|trying|when)\b")  # fmt: skip


_PART = (
    "(?:third|leg|stage|part|bit|act|period|session|innings|half|movement|chapter|phase|instalment|"
    "portion|section|level|round|stretch|verse|lap|course|set|shift|watch|reel)"
)
_PARTS = {
    "second-third": rf"(?:second|2nd|middle|mid|central) {_PART}(?! of (?:the )?ash)|"
    r"(?:a|one|the first) third(?: of it| of the (?:way|length|stick))?(?: is| 's| has)? "
    r"(?:gone|ash|smoke|behind|burned|burnt|consumed|down|done|over)",
    "final-third": rf"(?:final|last|third|3rd|closing) {_PART}|home (?:stretch|straight|run)|"
    r"two thirds(?: of it)?(?: is| are| 's)? (?:gone|ash|smoke|behind|burned|consumed|down|done)",
}
"""Any part of the smoke that a speaker may name the third by."""

HINT = 0.2
"""How sure words are that only hint at a moment: enough at the one place where it is due."""

_TAKES_BACK = frozenset(
    "no ay oh wait not hang hold scratch cancel stand too sorry strike oops".split()
)


def find_moments(ground: Ground) -> list[Mention]:
    """Candidates for each moment, one a line and kind, with how sure the words are."""
    found = [
        *_lit(ground), *_ash(ground), *_band(ground), *_thirds(ground), *_down(ground),
    ]  # fmt: skip
    best: dict[tuple[str, int], Mention] = {}
    for mention in found:
        key = (mention.kind, mention.line)
        if key not in best or mention.sure > best[key].sure:
            best[key] = mention
    return sorted(best.values(), key=lambda m: m.first)


def _lit(ground: Ground) -> list[Mention]:
    row = ground.row
    found = []
    for cue, sure in (("counts.lit", 1.0), ("counts.lit-weak", 0.5), ("counts.lit-hint", HINT)):
        for first, end, _ in row.find(pattern("{" + cue + "}")):
            tool = re.search(
                r"\b(?:match\w*|torch|lighter|candle|lamp|spill|stove)(?: is| 's)?$",
                row.said(_clause_start(ground, first), first),
            )
            if tool:  # the match is lit, not the cigar
                continue
            if _undone(ground, first, end) or row.said(end, end + 1) in ("again", "back"):
                continue
            found.append(Mention("lit", row.words[first].line, first, end, "done", sure=sure))
    return found


def _undone(ground: Ground, first: int, end: int) -> bool:
    """True where the clause says that it has not happened, or not yet."""
    start = _clause_start(ground, first)
    before = ground.row.said(start, first)
    after = ground.row.said(end, end + 2)
    return (
        mood(ground, first, end, deed=False) != "done" or bool(_NEGATED.search(before))
        or after.startswith("yet")
    )  # fmt: skip


def _clause_start(ground: Ground, first: int) -> int:
    words = ground.row.words
    start = first
    while start > 0 and first - start < 7 and not words[start].gap:
        if words[start - 1].lower in ("and", "so", "but", "then", "yep", "yes", "okay", "there"):
            break
        if words[start].line != words[start - 1].line:
            break
        start -= 1
    return start


def _ash(ground: Ground) -> list[Mention]:
    row = ground.row
    found = []
    shapes = pattern(
        r"ash(?: (?!is |was )[^ ]+){0,9}? {counts.fallen}|(?:there|bye)(?: goes| 's| go| went)?"
        r"(?: [^ ]+)? ?(?:the )?ash|ash(?: is| has| 's)+ (?:now |just |all )*(?:down|gone|off|"
        r"dropped|fallen|on the|in the|in my|on my|everywhere|over)|"
        r"(?:down|off|away|out) (?:goes|went|comes|came|drops) (?:the |my |that )?(?:[^ ]+ )?ash|"
        r"(?:lost|dropped|dropping|tapped|shed) (?:[^ ]+ ){0,3}ash|"
        r"(?:first|second|another) (?:bit of )?ash(?: drop| down| gone)?"
    )
    for first, end, _ in row.find(_IT_FELL):
        if _about_ash(ground, first):
            found.append(Mention("ash-drop", row.words[first].line, first, end, "done", sure=0.9))
    for first, end, _ in row.find(shapes):
        start, stop = row.sentence(first, 16)
        line_first, line_end = row.line_words(row.words[first].line)
        around = row.said(max(start, line_first), min(stop, line_end + 4))
        if pattern("{counts.holding}").search(around) and not re.search(
            r"\b(?:dropped|fell|fallen|falls|there goes|detached|released|gone|drops)\b", around
        ):
            continue
        if re.search(r"\b(?:not|never|nearly|almost|before it|about to|until|might|will|if|while|"
                     r"held|when)\b", row.said(max(first - 5, line_first), end)):  # fmt: skip
            continue
        found.append(Mention("ash-drop", row.words[first].line, first, end, "done"))
    return found


_IT_FELL = pattern(
    r"(?:there|down|off|away|out) (?:it|she|he)(?: 's)? (?:goes|went|go)|(?:it|she|he)"
    r"(?: 's| is| has| just| has just| 's just)* (?:gone|dropped|fallen|fell|come off|came off|"
    r"let go|landed|off|down)(?= (?:all|on|in|into|onto|straight|right|down|over|everywhere|across|"
    r"again|at last|finally|now)(?: |$))|"
    r"(?:it|she|he)(?: 's| has)(?: just)? (?:dropped|fallen|let go|come off)"
)
"""Said of the ash where the talk is of it: `And there she goes`, `it's gone, straight in ...`."""


def _about_ash(ground: Ground, first: int) -> bool:
    """True at the head of a line or sentence right behind talk of the ash on the stick."""
    row = ground.row
    line = row.words[first].line
    head = max(row.sentence(first, 6)[0], row.firsts[line])
    opening = row.said(head, first).split()
    if any(w not in _EXCLAIMED for w in opening):
        return False
    before = row.said(row.firsts[max(line - 1, 0)], head)
    return bool(re.search(r"\b(?:ash|ashes)\b(?! (?:taste|flavour|flavor|note))", before))


_EXCLAIMED = frozenset(
    "and oh ah well now yep yes yeah right okay whoops oops there so ope ooh but then ha aye "
    "finally blast damn".split()
)


def _band(ground: Ground) -> list[Mention]:
    row = ground.row
    found = []
    shapes = pattern(
        r"(?:{counts.band})(?: (?!is a|is the|says)[^ ]+){0,6}? {counts.taken-off}|"
        r"{counts.taken-off} (?:[^ ]+ ){0,3}?{counts.band}(?: [^ ]+){0,2}? (?:off|away|out|free)|"
        r"(?:removed|removing|unwrapped|peeled|slipped off|slid off|off with|slit|took off|"
        r"take off|"
        r"taking off) (?:the |its |that )?(?:[^ ]+ )?{counts.band}|off it comes|it 's off|band off|"
        r"off (?:comes|came|goes|with) (?:the |my |that )?(?:[^ ]+ )?{counts.band}"
    )
    bands = {row.words[a].line for a, _, _ in row.find(pattern("{counts.band}"))}
    ringed = pattern(
        "ring(?: is| 's)? (?:gauge|{counts.number})".replace("{counts.number}", r"\d+")
    )
    for first, end, match in row.find(shapes):
        line = row.words[first].line
        if line not in bands or ringed.search(match[0]):
            continue
        start, stop = row.line_words(line)
        before = row.said(max(first - 4, start), end)
        sure = 1.0 if re.search(r"\b(?:off|removed|away|out)\b", match[0]) else 0.6
        if pattern("{counts.not-yet-off}").search(before):
            after = row.said(end, stop)
            if not re.search(r"\b(?:it 's off|off it|there)\b", after + " " + match[0]):
                continue
            sure = 0.7
        found.append(Mention("band-off", line, first, end, "done", sure=sure))
    return found


def _thirds(ground: Ground) -> list[Mention]:
    row = ground.row
    found: list[Mention] = []
    unsaid, back = pattern("{counts.unannounced}"), pattern("{counts.taken-back}")
    for kind in ("second-third", "final-third"):
        for first, end, _ in row.find(pattern("{counts." + kind + "}|" + _PARTS[kind])):
            line = row.words[first].line
            head = row.line_words(line)[0]
            if head and first - head <= 6 and not row.words[head].gap:
                line = max(line - 1, 0)  # the announcement began before the cut
            start, stop = row.sentence(first, 30)
            near = row.said(max(start, first - 14), first)
            if ground.scope.elsewhere(first, end):
                continue
            sure = 1.0
            if unsaid.search(near) or _looks_back(row.said(end, min(stop, end + 8))):
                sure = 0.3
            if _withdrawn(ground, end, back):
                sure = 0.0
            if sure > 0.3 and re.search(
                         r"\b(?:now|okay|right|so|call|here|we 're|i 'm|into|begins|starts)\b",
                         near + " " + row.said(end, end + 2)):  # fmt: skip
                sure = min(1.0, sure + 0.2)
            if sure > 0.25:
                found.append(Mention(
                    "second-third" if kind == "second-third" else "final-third",
                    line, first, end, "done", sure=sure,
                ))  # fmt: skip
    return found


def _looks_back(after: str) -> bool:
    return bool(re.match(
        r"(?:was|were|had|did|i 'm expecting|will|'ll|i expect|i was going to say|i nearly said|"
        r"i almost said|i wanted to say)\b", after,
    ))  # fmt: skip


def _withdrawn(ground: Ground, end: int, back: re.Pattern[str]) -> bool:
    """True where the next words take the announcement back."""
    row = ground.row
    stop = end
    opened = False
    while stop < len(row.words) and stop - end < 18:
        if row.words[stop].gap == STOP:
            if not opened and not _opens_back(ground, stop):
                break
            opened = True
        stop += 1
    after = re.sub(r"(?:not|never) take (?:it|that|this) back", "", row.said(end, stop))
    if not back.search(after):
        return False
    return bool(re.search(
        r"\b(?:still|not|cancel|inch(?:es)? left|inches|too early|too soon|stand down|refused|"
        r"only|i 'm measuring|one thumb more|jumped|early|premature)\b", after
    ))  # fmt: skip


def _opens_back(ground: Ground, at: int) -> bool:
    """True for a sentence that begins by taking back: `No, ...`, `Ay, no`, not `No tar yet`."""
    words = ground.row.words
    if words[at].lower not in _TAKES_BACK:
        return False
    after = words[at + 1] if at + 1 < len(words) else None
    return after is None or words[at].lower != "no" or after.gap > 0 or after.lower in _TAKES_BACK


def _down(ground: Ground) -> list[Mention]:
    row = ground.row
    found = []
    ashes = {row.words[a].line for a, _, _ in row.find(pattern("ash|ashes"))}
    for first, end, match in row.find(pattern("{counts.down}")):
        if _undone(ground, first, end) or row.words[first].line in ashes:
            continue
        strong = re.search(r"\b(?:down|tray|tin|ashtray|bucket|sand|stubbed|boot|rest|stop|go|"
            r"tray)\b",
                           match[0])  # fmt: skip
        found.append(
            Mention(
                "put-down", row.words[first].line, first, end, "done", sure=1.0 if strong else 0.6
            )
        )
    for first, end, _ in row.find(pattern("{counts.down-hint}")):
        if not _undone(ground, first, end) and row.words[first].line not in ashes:
            found.append(Mention("put-down", row.words[first].line, first, end, "done", sure=HINT))
    return found
