"""Where in the draft each sentence goes. Asides go nowhere."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..model import Reading, Utterance
from ..sheet.topics import announces, mentioned, topics

Place = tuple[str, int]
"""A section of the draft and a third of it, 0 for the whole."""

OBTAINED: Place = ("obtained", 0)
LOOSE: Place = ("loose", 0)
ANNOUNCED: Place = ("announced", 0)
"""Sentences that a heading makes needless (`Second third.`)."""
ORDER: tuple[Place, ...] = (
    OBTAINED, ("setup", 0), ("appearance", 0), ("pre-light", 0),
    ("palate", 1), ("palate", 2), ("palate", 3), ("palate", 0),
    ("burn", 1), ("burn", 2), ("burn", 3), ("burn", 0),
    ("presentation", 0), ("pairing", 0), ("verdict", 0), LOOSE,
)  # fmt: skip
"""The places in the order of the draft."""
NEAR = 15.0
"""Seconds within which two sentences are said in one breath."""

_LEANING = re.compile(
    r"(?:and |but |so |well )?(?:that one|those|this one|he|she|they|he's|she's|they're)\b",
    re.IGNORECASE,
)
_GOING_ON = re.compile(r"(?:and|but) (?:there's|there is|it's|it is|not|only|lots|more)\b", re.I)
_WHOLE = re.compile(
    r"\b(?:overall|altogether|whole|all in all|all told|in all|in total|total|totals|start to "
    r"finish|throughout|all three|never once|not once|taken together|on balance)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Places:
    """The sentences of each place, in the order in which they were said."""

    by_place: Mapping[Place, tuple[Utterance, ...]]
    disclosing: tuple[Utterance, ...] = ()
    """The sentences that say how the cigar was obtained: all of them, moved or not."""

    def at(self, section: str, third: int = 0) -> tuple[Utterance, ...]:
        """Return the sentences of one place."""
        return self.by_place.get((section, third), ())

    def in_order(self) -> tuple[Utterance, ...]:
        """Return all sentences in the order in which the draft shows them."""
        return tuple(u for where in ORDER for u in self.at(*where))


def place(reading: Reading) -> Places:
    """Return every sentence that is no aside in its place. `ORDER` has all but the announcements.

    Palate and burn go by thirds. A sentence of no third stays with the sentences it was said
    with; said by itself while the cigar was burning, it is a loose note; else it is about the
    whole smoke.
    """
    told = [u for u in reading.utterances if u.section != "aside" and u.text]
    disclosing = _disclosing(told)
    front = {u.id for u in disclosing if u.id != _introduction(told)}
    found: dict[Place, list[Utterance]] = {}
    before: tuple[Place, Utterance] | None = None
    for n, utterance in enumerate(told):
        if announces(utterance.text):
            found.setdefault(ANNOUNCED, []).append(utterance)
            continue
        where = OBTAINED if utterance.id in front else _place(reading, told, n, before)
        found.setdefault(where, []).append(utterance)
        before = (where, utterance)
    by_place = {where: tuple(row) for where, row in found.items()}
    return Places(by_place, tuple(disclosing))


def _place(
    reading: Reading, told: Sequence[Utterance], n: int, before: tuple[Place, Utterance] | None
) -> Place:
    utterance = told[n]
    if utterance.section not in ("palate", "burn"):
        return (utterance.section, 0)
    if before and before[0][0] in ("palate", "burn") and _hangs(reading, before[1], utterance):
        return before[0]
    if utterance.third:
        return (utterance.section, utterance.third)
    burning = reading.kind == "live" and not _put_down(reading, utterance)
    marked = any(mark.utterance == utterance.id for mark in reading.marks)
    alone = burning and not marked and not _WHOLE.search(utterance.text)
    if before and _near(before[1], utterance):
        same = alone and before[1].section == utterance.section
        leans = before[0][0] in ("palate", "burn", "loose") and _LEANING.match(utterance.text)
        if same or leans:
            return before[0]
    if alone and n + 1 < len(told) and _near(utterance, told[n + 1]):
        following = told[n + 1]
        if following.section == utterance.section and following.third:
            return (utterance.section, following.third)
    if among := _among(told, n):
        return (utterance.section, among)
    return LOOSE if alone else (utterance.section, 0)


def _hangs(reading: Reading, before: Utterance, utterance: Utterance) -> bool:
    """True for a sentence that only goes on about the one before: `And there's a lot of it.`"""
    goes_on = _GOING_ON.match(utterance.text) and _near(before, utterance)
    if not goes_on or utterance.third != before.third:
        return False
    told = {note.utterance for note in reading.descriptors}
    told |= {event.utterance for event in reading.events} | {m.utterance for m in reading.marks}
    asked = [t for t in topics().values() if utterance.section in t.sections]
    return utterance.id not in told and all(mentioned(t, utterance) == "silent" for t in asked)


def _near(before: Utterance, utterance: Utterance) -> bool:
    """True for two sentences said in one breath."""
    return utterance.id == before.id + 1 and utterance.start - before.end <= NEAR


def _among(told: Sequence[Utterance], n: int) -> int:
    """The third of the same section's sentences before and after, 0 where they differ."""
    own = told[n].section
    sides = (told[n - 1 :: -1] if n else (), told[n + 1 :])
    thirds = [next((u.third for u in side if u.section == own), None) for side in sides]
    return thirds[0] or 0 if thirds[0] == thirds[1] else 0


def _put_down(reading: Reading, utterance: Utterance) -> bool:
    down = reading.timing.put_down
    return down is not None and utterance.start >= down


def _introduction(told: Sequence[Utterance]) -> int | None:
    """The first sentence of the set-up, which names the cigar: it stays where it is."""
    return next((u.id for u in told if u.section == "setup" and not announces(u.text)), None)


def _disclosing(told: Sequence[Utterance]) -> list[Utterance]:
    """The sentences that say how the cigar was obtained; plain words for it before a price."""
    known = topics()
    for name in ("disclosure", "paid"):
        topic = known[name]
        found = [u for u in told if u.section in topic.sections and mentioned(topic, u) == "said"]
        if found:
            return found
    return []
