"""Did it happen? Reads the words that lead up to a verb or a noun."""

from __future__ import annotations

import re

from ..ground import Ground
from ..phrases import pattern
from ..stream import STOP
from .model import Mood

_GROUP = frozenset(
    "i we you 've have had has having 'd just only quickly also already really finally to go gone "
    "went be been being was were am 'm is 's are not never nearly almost about going gonna fixing "
    "will 'll would could should might may must can did do does got ought need needs needed want "
    "wants wanted tempted ready trying tried try thought think thinking let me us pretty near "
    "close "
    "hardly barely of if unless whether before maybe perhaps rather than instead without simply "
    "promptly quietly gently carefully had better decided planning plan meant minded supposed hope "
    "hoping wait like all but fixing this it set point verge considered reached for make made "
    "shall probably in myself even ever once twice again soon kindly finally eventually gave "
    "give given giving do did done doing got get getting take took taken time due asked asking "
    "call calls called ask asks require requires required deserves beg begging crying out could "
    "use with saying said charted counted logged as that there those another further no any "
    "when nothing reaching held off against talked out resisted wondered wondering debating "
    "debated looks looked might've suggestion needing wanting i'd forget forgot".split()
)
_ASKS = frozenset(
    "thought think wish figured reckoned hoped if when before unless whether should shall did do "
    "could would may might until maybe perhaps where".split()
)
"""Before a subject these still belong to the verb: `I thought I'd have to`, `should I`."""

_ARTICLES = frozenset(
    "a an another one two three four five six the my first second third fourth fifth more further "
    "quick little small tiny brief light slight minor major proper wee bit of single only last "
    "final ever next this that same extra obvious slow decent fresh couple few any some no other "
    "good gentle necessary".split()
)
_DONE_PAST = pattern(
    r"had to|'ve had to|have had to|having had to|'d to|needed to|was obliged to|were obliged to|"
    r"was forced to|got to|ended up|went and|go and|gone and|did|decided to|felt obliged to"
)
_NOT_TRUE = pattern(
    r"(?:should|could|would|might|may|ought to|must)(?: not)? have|do i|did i|have i|never|not|"
    r"no|nothing|without|nor|neither|hardly|barely|instead of|rather than|no need|avoided"
)
_NEVER = pattern(r"never|not|no|nothing|without|nor|neither|no need|hardly|zero|nil|none|any")
_NEVER_HAD = re.compile(
    r"\b(?:never|not|nor|neither)(?: once| ever| even| actually| really| i)* "
    r"(?:had|needed|have|need|obliged|forced) to$"
)
"""`I never once had to`: behind it nothing was done."""

_SAID = pattern(r"(?:did|have|had) i (?:say|said|mention|mentioned|tell|told)")
_TOPIC = re.compile(r"\b(?:as for|as to|about|of|for|from|worth|like|despite|against|than)$")
"""Before a form in -ing these only name it: `as for touching it up`."""

_WHO = frozenset("you he she they people everyone who somebody someone folks".split())
_TOLD_TO = re.compile(
    r"\b(?:says?|said|tells me to|told me to|wants me to|wanted me to|ask me to|asked me to|"
    r"begging me "
    r"to|shouting|advised me to|advice is to|supposed to)$"
)
_OTHERS = pattern(r"(?:you|he|she|they|people|everyone|one|someone|somebody|who)(?: \w+){0,2}")


_RECOVERED = (
    r"(?:(?:caught|evened|straightened|sorted|levelled|leveled|righted|mended|fixed|corrected|"
    r"healed) "
    r"(?:(?:up|out|off|it|her|him) )*(?:by|on|itself|herself|himself|all)|came (?:back|round|right|"
    r"good|straight|around)|(?:mended|fixed|righted|corrected|healed|sorted) (?:it|her|him) ?self)"
)
"""Behind a flame these say that it was not needed."""


def group_before(ground: Ground, first: int, *, reach: int = 9) -> str:
    """The verb group that leads up to word `first`, within its clause."""
    words = ground.row.words
    at = first
    while at > 0 and first - at < reach and not words[at].gap and words[at - 1].lower in _GROUP:
        at -= 1
        before = words[at - 1].lower if at else ""
        if words[at].lower in ("i", "we") and before not in _ASKS:
            break
    return ground.row.said(at, first)


def noun_start(ground: Ground, first: int) -> int:
    """The first word of the noun phrase whose noun is word `first`."""
    words = ground.row.words
    at = first
    while at > 0 and first - at < 5 and not words[at].gap and words[at - 1].lower in _ARTICLES:
        at -= 1
    return at


def mood(ground: Ground, first: int, end: int, *, deed: bool = True) -> Mood:
    """The mood of a verb in words `first` to `end`.

    A `deed` is the speaker's: `she corrected it` is somebody else's, but `she went out` is not.
    """
    if ground.scope.elsewhere(first, end) or ground.scope.habit[first]:
        return "elsewhere"
    before = ground.row.said(max(first - 7, 0), first)
    if ground.row.words[first].lower.endswith("ing") and _TOPIC.search(before):
        return "intent"
    afresh = re.search(r"\b(?:i 'm|i am|we 're|we are) (?:only |just )?after$", before)
    if not afresh and re.search(
        r"\b(?:after|since|following)(?: i| we| it| she)?(?: 'd| had| was| 've)*$", before
    ):
        return "elsewhere"
    if _SAID.search(before) or _TOLD_TO.search(before):
        return "near"
    group = group_before(ground, first)
    near = pattern("{counts.near}")
    if near.search(group):
        return "near"
    done = list(_DONE_PAST.finditer(group))
    untrue = list(_NOT_TRUE.finditer(group))
    never = untrue and _NEVER_HAD.search(group)
    if untrue and (never or not (done and done[-1].start() > untrue[-1].start())):
        return "none" if _NEVER.search(untrue[-1][0]) else "near"
    if done and not untrue:
        return "done"
    if pattern("{counts.intent}").search(group):
        return "intent"
    size = len(group.split())
    who = ground.row.said(first - size - 1, first - size)
    if (deed and who in _WHO) or (_OTHERS.match(group) and not group.startswith("one")):
        return "elsewhere"
    return "near" if given_up(ground, end) else "done"


def given_up(ground: Ground, end: int) -> bool:
    """True where the words behind take it back: `..., but I didn't`."""
    words = ground.row.words
    stop = next(
        (n for n in range(end, min(end + 9, len(words)))
         if words[n].gap == STOP and words[n].lower not in ("but", "and", "then")),
        end + 9,
    )  # fmt: skip
    after = ground.row.said(end, stop)
    return bool(
        pattern(
            r"(?:\w+ ){0,5}(?:but|and|then)(?: then)? (?:i )?(?:did not(?! (?:tell|say|mention|"
            r"count|note))|thought better|decided (?:not|against)|never (?:did|used|lit|struck)|"
            r"(?:put|set|laid) (?:it|the \w+) (?:back|away|down)|(?:closed|pocketed|capped|shut) "
            r"(?:it|the \w+)|"
            r"changed my mind|left it|held off|resisted)(?: .*)?|(?:\w+ )*(?:unused|did not need "
            r"(?:it|to))(?: .*)?|(?:\w+ ){0,4}(?:but|and)(?: then)? (?:it|she|he)(?: \w+)? "
            rf"{_RECOVERED}(?: .*)?"
        ).fullmatch(after)
    )
