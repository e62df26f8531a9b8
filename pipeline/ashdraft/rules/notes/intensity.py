"""How strong a note is said to be: each word of measure goes to the one note it measures.

"lots of cocoa, and wet slate" makes the cocoa strong; "white pepper, but just a tickle" makes
the pepper faint; where two measures meet on one note, the last one said holds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ...model import Intensity
from .scene import Scene
from .stream import NONE, STOP

_BETWEEN = {
    "of", "a", "an", "the", "that", "this", "is", "'s", "was", "quite", "more", "like", "kind",
    "sort", "some", "your", "little", "tiny", "wee", "for", "me", "say", "definitely", "those",
    "these", "something", "thing", "note", "notes", "taste", "flavour", "flavor", "same", "what",
    "looks", "feels",
}  # fmt: skip
_ONLY_FORWARD = {
    "all", "pure", "much", "mostly", "mainly", "chiefly", "predominantly", "primarily",
    "nothing but", "straight up", "big", "really big", "great big",
}  # fmt: skip
_SHARED = {
    "mostly", "all", "mainly", "nothing but", "hints of", "traces of", "touches of",
    "whispers of", "chiefly", "pretty much all", "basically all", "nearly all", "almost all",
}  # fmt: skip
_GOES_ON = {
    "now", "left", "there", "here", "too", "again", "still", "compared", "one", "note", "thing",
    "flavour", "flavor", "event", "then", "only", "right", "already", "down", "way", "taste",
    "though", "mind", "like",
}  # fmt: skip
_MODIFIES = {
    "a lot",
    "much",
    "so much",
    "a great deal",
    "quite a lot",
    "an awful lot",
}  # "faded a lot"
_PART = {
    "first", "last", "that", "this", "best", "middle", "next", "second", "early", "late",
    "opening", "nice", "the", "every",
}  # fmt: skip
_SAID_OF = {"'s", "is", "was", "are", "has", "had", "looks", "feels", "stays", "gets"}
_OTHER_TOPICS = {"draw", "burn", "ash", "body", "strength", "line", "smoke", "wrapper"}
_ALMOST_NOT = {"hardly", "barely", "scarcely"}  # "I can barely finish it" measures no note
_REACH = 18
_IT = {("it",), ("them",), ("that",), ("those",), ("itself",)}
_OF_IT = {("of", w[0]) for w in _IT}
_BIG = {"big", "really big", "great big"}
_SMALL_AFTER = {"a", "but", "is", "'s", "very", "so", "quite", "only", "the", "just", "was"}
_VALUES: tuple[Intensity, ...] = ("strong", "faint")


def intensities(scene: Scene, accepted: Sequence[int]) -> Mapping[int, Intensity]:
    """Intensity by the index of the span, for the accepted spans that are not plain."""
    notes = {i: n for n in accepted for i in range(scene.spans[n].first, scene.spans[n].end)}
    found: dict[int, Intensity] = {}
    for i, starts in enumerate(scene.marks.starts):
        for value in _VALUES:
            end = starts.get(value, 0)
            if not end:
                continue
            if scene.stream.gap[end - 1] > NONE and scene.stream.low[end - 1] == "of":
                end -= 1
            if _inside_longer(i, end, value, scene) or _not_so(i, scene) or _idle(i, end, scene):
                continue
            for n in _owners(i, end, scene, notes):
                found[n] = value
    return found


def _idle(i: int, end: int, scene: Scene) -> bool:
    """Words of measure that measure no note: "the first bit", "faded a lot", "at all"."""
    low = scene.stream.low
    phrase = " ".join(low[i:end])
    if phrase == "bit":
        return low[i - 1] in _PART
    if phrase == "low":
        return scene.stream.gap[i] == NONE or scene.stream.gap_after(end - 1) == NONE
    if phrase == "small" and i > 1:
        return low[i - 1] not in _SMALL_AFTER or low[i - 2] in {"i", "you", "we", "he", "she"}
    if phrase in {"all", "little", "a little", "a bit", "bit"} and low[end : end + 1] == ("more",):
        return low[end : end + 2] != ("more", "of")
    return phrase in _MODIFIES and i > 0 and scene.marks.at(i - 1, "faint")


def _inside_longer(i: int, end: int, value: Intensity, scene: Scene) -> bool:
    """Whether a longer measure takes this one in: "much" in "not much"."""
    for k in range(max(0, i - 3), i + 1):
        for cue in ("strong", "faint"):
            other = scene.marks.end(k, cue)
            if other >= end and (k, cue) != (i, value):
                return True
    return False


def _not_so(i: int, scene: Scene) -> bool:
    """ "It's not a hint any more": the measure is denied."""
    low = scene.stream.low
    before = (
        low[i - 2] if i > 1 and low[i - 1] in {"as", "so", "that", "very", "too"} else low[i - 1]
    )
    if i == 0 or scene.stream.gap[i] > NONE or before not in {"not", "no", "never"}:
        return False
    said = scene.marks.at(i, "deny.hardly") and scene.marks.at(i, "faint")
    return not (said or scene.marks.at(i, "deny.twice"))


def _owners(i: int, end: int, scene: Scene, notes: Mapping[int, int]) -> list[int]:
    stream, phrase = scene.stream, " ".join(scene.stream.low[i:end])
    ahead = _ahead(i, end, phrase, scene, notes)
    if ahead is not None:
        return [ahead, *_shared(ahead, phrase, scene, notes)]
    of_it = stream.low[end : end + 2] in _OF_IT or (
        stream.low[end - 1] == "of" and stream.low[end : end + 1] in _IT
    )
    if phrase in _ONLY_FORWARD and not of_it and phrase != "mostly":
        return []
    if phrase.endswith(" of") and not of_it:
        return []
    behind = _behind(i, end, of_it, scene, notes)
    return [] if behind is None else [behind]


def _ahead(i: int, end: int, phrase: str, scene: Scene, notes: Mapping[int, int]) -> int | None:
    """The note right after the measure; one that ends in "of" may wait for it a little."""
    stream = scene.stream
    waits = phrase.endswith(" of")
    reach = (
        1
        if phrase == "all"
        else 3
        if phrase in _BIG
        else 2
        if phrase in _ONLY_FORWARD
        else 8
        if waits
        else 5
    )
    for k in range(end, min(len(stream), end + reach)):
        if stream.gap[k] == STOP or (stream.low[k - 1] == "of" and stream.low[k : k + 1] in _IT):
            return None
        crossed = stream.gap[k] > NONE and not (k == end and _opens(i, scene, notes))
        if k in notes and scene.spans[notes[k]].first == k:
            return None if crossed and not waits else notes[k]
        if k in scene.at and scene.at[k].family:
            return None
        if waits:
            continue
        measured = stream.low[k + 1 : k + 2] == ("of",)
        passed = measured or stream.low[k] in _BETWEEN or stream.pos[k] in {"ADJ", "DET"}
        if crossed or not passed:
            return None
    return None


def _opens(i: int, scene: Scene, notes: Mapping[int, int]) -> bool:
    """Whether a measure stands alone before the first note: "strong, black pepper"."""
    named = any(k in notes for k in range(max(scene.parts.sentence[i][0], i - 40), i))
    return scene.parts.clause[i][0] == i and not named


def _shared(first: int, phrase: str, scene: Scene, notes: Mapping[int, int]) -> list[int]:
    """The second of a pair under one measure: "mostly butter and pepper"."""
    low, end = scene.stream.low, scene.spans[first].end
    if phrase in _SHARED and low[end : end + 1] == ("and",) and end + 1 in notes:
        return [notes[end + 1]]
    return []


def _behind(i: int, end: int, of_it: bool, scene: Scene, notes: Mapping[int, int]) -> int | None:
    """The last note before the measure, where the measure speaks of it."""
    stream = scene.stream
    if end < len(stream) and stream.gap[end] == NONE and not of_it:
        goes_on = stream.pos[end] in {"NOUN", "PROPN", "ADJ"} and stream.low[end] not in _GOES_ON
        if goes_on or stream.low[end] == "of":
            return None
    if stream.low[i] in _ALMOST_NOT and stream.pos[end : end + 1] in {("VERB",), ("AUX",)}:
        return None
    line = stream.spans[stream.line[i]][0]
    stops = 0
    for k in range(i - 1, max(-1, i - 1 - _REACH), -1):
        if k + 1 == line and stream.gap[line] > NONE:
            return None
        stops += stream.gap[k + 1] == STOP
        if stops > 1:
            return None
        if k in notes:
            return notes[k]
        if stream.low[k] in _OTHER_TOPICS and stream.low[k + 1] in _SAID_OF:
            return None
    return None
