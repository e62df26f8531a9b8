"""What is said of a note after its name: that it left, stayed, never came, could not be found."""

from __future__ import annotations

from .clauses import Clauses
from .phrases import Marks
from .spans import Span
from .stream import COMMA, NONE, Stream

AUX = {
    "'s", "is", "was", "are", "were", "be", "been", "being", "has", "have", "had", "do", "does",
    "did", "'d", "will", "would", "can", "could", "seems", "seem", "seemed", "got", "getting",
    "gets", "feels", "looks", "appears", "may", "might", "must", "should",
}  # fmt: skip
BEING = {"'s", "is", "was", "are", "were", "be", "been", "being"}
_PLACE = {
    "in", "on", "from", "of", "at", "through", "up", "off", "by", "with", "out", "down", "for",
    "after", "since",
}  # fmt: skip
_ENDS_WEAK = {
    "now", "completely", "entirely", "altogether", "and", "but", "too", "by", "from", "already",
    "again", "at", "so", "totally", "just", "as", "since", "after", "before", "in", "within",
    "for", "then", "once", "till", "until",
}  # fmt: skip
_ADVERBS = {
    "all", "also", "now", "well", "pretty", "much", "clean", "just", "long", "already", "finally",
    "completely", "entirely", "totally", "really", "truly", "almost", "nearly", "about", "quite",
    "altogether", "soon", "quickly", "then", "there", "here", "only", "both", "simply",
    "definitely", "certainly", "gradually", "slowly", "sadly", "largely", "rather", "more",
    "less", "or", "too", "way", "right", "itself", "thing", "note", "notes", "that", "flavour",
    "flavor", "taste", "part", "side", "ever", "yet", "still", "again", "even", "thankfully",
    "by", "today", "since", "once", "very", "mostly", "properly", "officially", "kind", "sort",
    "of", "merely", "business",
}  # fmt: skip
NO = {"no", "nah", "nope"}
_ALONE = {"goes", "left", "leaves", "hides", "quits", "quit"}
_SOON = {
    "before",
    "in",
    "within",
    "as",
    "by",
    "almost",
}  # "gone before the next puff": it was there
_NOT_EVEN = {("not", w) for w in ("even", "at", "in", "on", "there", "this", "here", "anywhere")}
_TURNS = {
    "down", "up", "back", "very", "quiet", "faint", "soft", "dark", "a", "all", "into", "to",
    "right", "sweet",
}  # fmt: skip
_LEFT_BEHIND = {"the", "us", "me", "my", "town", "entirely", "altogether", "completely", "for"}
_NEARLY = {"almost", "nearly", "about", "mostly", "largely"}
_SENSES = {
    "get", "find", "found", "taste", "have", "detect", "notice", "smell", "see", "locate",
    "verify", "establish", "confirm", "got", "getting", "finding", "tasting", "pick", "catch",
    "trace", "sense", "feel", "want", "identify", "raise", "place",
}  # fmt: skip
NOT = {"not", "never", "longer", "no"}
_TRAILS = {
    "for", "till", "until", "all", "to", "any", "at", "now", "here", "there", "anywhere", "yet",
    "today", "this", "on", "in", "completely", "again", "either", "though", "so", "and", "but",
    "anymore", "really", "up",
}  # fmt: skip
_CLOSES = {"at", "not", "none", "for", "though", "which", "and", "so"}
_REACH = 12
TOPIC_WORDS = {"the", "that", "this", "those", "these", "its", "any"}


def after(span: Span, stream: Stream, marks: Marks, parts: Clauses) -> int:
    """-1 where the words after the note say that it is not there, 1 that it stayed, else 0."""
    k, end = span.end, parts.sentence[span.head][1]
    verb = nearly = False
    k = resumed = _over_relative(k, end, stream, marks)
    for _ in range(_REACH):
        if k >= end:
            return _alone(span, k, stream, marks)
        starts = marks.starts[k]
        if "stays" in starts:
            return 1
        if "absent.after" in starts or "gone" in starts:
            cue = max(starts.get("absent.after", 0), starts.get("gone", 0))
            if stream.low[k] in {"not", "never"} and _earlier(cue, end, stream):
                return 1
        if "absent.after" in starts:
            return -1
        if "gone" in starts and {"not", "never"} & set(stream.low[max(span.end, k - 3) : k]):
            return 1
        if marks.end(k, "deny.pseudo"):
            return 0
        if "gone" in starts and not nearly and left_for_good(starts["gone"], k, end, stream):
            brief = (stream.gap[k] == COMMA or (stream.raw and not verb)) and not _definite(
                span, stream, parts
            )
            soon = stream.low[starts["gone"] : starts["gone"] + 1]
            return 0 if brief and soon and soon[0] in _SOON else -1
        if "gone.weak" in starts and verb | _final(k, span) and not nearly:
            weak_end = starts["gone.weak"]
            changes = "to" in stream.low[weak_end : weak_end + 5]
            ends = not (stream.low[weak_end : weak_end + 1] == ("from",) and changes) and (
                weak_end >= end
                or stream.gap[weak_end]
                or stream.low[weak_end] in _ENDS_WEAK
                or parts.clause[weak_end][0] == weak_end
                or (stream.low[k] == "left" and verb and stream.low[weak_end] in _LEFT_BEHIND)
            )
            alone = stream.low[k] in _ALONE and not (
                stream.low[k] == "left" and weak_end < end and not stream.gap[weak_end]
            )
            if ends and (verb or alone):
                return -1
        if "none" in starts and k == span.end and stream.low[span.first - 1] == "any":
            return -1
        if "none" in starts and closed(starts["none"], end, stream):
            denied_on = stream.low[starts["none"] : starts["none"] + 2] in _NOT_EVEN
            doubtful = stream.low[k] in NO and (
                starts["none"] < end or stream.low[k - 1] in {"actually", "well"}
            )
            return 0 if doubtful and not denied_on else -1
        if stream.low[k] == "nothing" and stream.low[span.first - 1] == "of":
            return 0 if stream.low[k + 1 : k + 2] == ("more",) else -1
        if stream.gap[k] == COMMA and k > resumed:
            return 0
        if stream.gap[k] == COMMA and k == resumed == span.end:
            return 0
        if k == span.end and _it_is_not(k, end, stream):
            return -1
        if marks.at(k, "subject") and not verb:
            fronted = _fronted(k, end, stream, marks)
            reduced = _relative_end(k, end, stream, marks)
            if fronted or reduced == k or stream.low[span.first - 1] not in TOPIC_WORDS:
                return fronted
            k = resumed = reduced
            verb = True
            continue
        if stream.low[k] in _NEARLY:
            nearly = True
        if stream.low[k] in AUX:
            verb = True
        elif stream.low[k] in _PLACE and not verb:
            k = _over_place(k, end, stream, marks)
            continue
        elif not (
            stream.pos[k] == "ADV"
            or (verb and stream.pos[k] == "ADJ" and marks.end(k + 1, "gone"))
            or stream.low[k] in _ADVERBS
            or _well_and_truly(k, stream)
        ):
            return 0
        k += 1
    return 0


def _earlier(k: int, end: int, stream: Stream) -> bool:
    """Whether the words before `k` speak of a time past: "that wasn't there before"."""
    closes = k + 1 >= end or stream.gap[k + 1] > NONE or stream.low[k + 1] in {"and", "but"}
    return k < end and stream.low[k] in {"before", "earlier", "previously"} and closes


def _well_and_truly(k: int, stream: Stream) -> bool:
    """Whether word `k` is the "and" between two adverbs."""
    both = stream.pos[k - 1 : k] + stream.pos[k + 1 : k + 2]
    return stream.low[k] == "and" and both == ("ADV", "ADV")


def _definite(span: Span, stream: Stream, parts: Clauses) -> bool:
    """Whether a note is spoken of as known: "the butter", or first in its clause."""
    before = stream.low[span.first - 1] if span.first else ""
    return before in TOPIC_WORDS or parts.clause[span.first][0] == span.first


def left_for_good(end_of_word: int, k: int, end: int, stream: Stream) -> bool:
    """Whether "gone" means away, not a change: "gone quiet", "gone down"."""
    if stream.low[k] != "gone" or end_of_word > k + 1 or end_of_word >= end:
        return True
    if stream.gap[end_of_word]:
        return True
    if stream.low[end_of_word] == "from" and "to" in stream.low[end_of_word : end_of_word + 5]:
        return False
    follows = stream.pos[end_of_word] in {"ADJ", "VERB"} or stream.low[end_of_word] in _TURNS
    return not follows


def _final(k: int, span: Span) -> bool:
    return k == span.end


def closed(k: int, end: int, stream: Stream) -> bool:
    """Whether nothing goes on at `k`: the end, a pause, "not even", "at all"."""
    return k >= end or stream.gap[k] > NONE or stream.low[k] in _CLOSES


def _alone(span: Span, k: int, stream: Stream, marks: Marks) -> int:
    """ "Spice? None." and "Char. Gone.": a sentence of its own that denies the note before it."""
    if k >= len(stream) or k != span.end:
        return 0
    if stream.line[k] != stream.line[span.head]:
        told = stream.raw and stream.low[k] == "not" and marks.end(k, "none")
        return -1 if told else 0
    for cue in ("none", "gone", "absent.after"):
        stop = marks.end(k, cue)
        if stop and (stop >= len(stream) or stream.gap[stop] or stream.low[stop] in {"at", "for"}):
            alone = stop >= len(stream) or stream.line[stop] != stream.line[k]
            return -1 if alone or stream.low[k] not in NO else 0
    return 0


def _over_relative(k: int, end: int, stream: Stream, marks: Marks) -> int:
    """Past a relative clause: "the cedar, which I'd taken for granted, was gone"."""
    if k < end and stream.gap[k] == COMMA and stream.low[k - 1] not in TOPIC_WORDS:
        aside = _aside_end(k, end, stream, marks)
        if aside:
            return aside
    if k >= end or stream.low[k] not in {"which", "that", "who"}:
        return k
    if stream.gap[k] == COMMA:
        stops = [j for j in range(k + 1, min(end, k + 3 * _REACH)) if stream.gap[j] == COMMA]
        return stops[0] if stops else end
    return _relative_end(k, end, stream, marks)


def _aside_end(k: int, end: int, stream: Stream, marks: Marks) -> int:
    """Past an aside before the verb: "the nutmeg, on the other hand, is gone"; 0 for none."""
    for j in range(k + 1, min(end, k + _REACH)):
        if stream.gap[j] == COMMA:
            verb = stream.low[j] in AUX or marks.end(j, "gone") or marks.end(j, "absent.after")
            return j if verb else 0
    return 0


def _relative_end(k: int, end: int, stream: Stream, marks: Marks) -> int:
    """Where the main verb says more of the note: "the sourness I complained of / has gone"."""
    for j in range(k + 1, min(end, k + _REACH)):
        verb = stream.low[j - 1] in AUX or stream.low[j - 1] == "not"
        if marks.end(j, "absent.after") or marks.end(j, "stays") or (verb and marks.end(j, "gone")):
            return j
        if stream.gap[j] == COMMA:
            break
    return k


def _over_place(k: int, end: int, stream: Stream, marks: Marks) -> int:
    """Past a phrase of place: "in the nose", "from the foot"."""
    j = k + 1
    while j < end and j < k + 5 and stream.gap[j] < COMMA and stream.low[j] not in AUX:
        goes_on = j + 1 < end and stream.pos[j + 1] == "NOUN" and not marks.end(j + 1, "none")
        if stream.pos[j] in {"NOUN", "PROPN"} and not goes_on:
            return j + 1
        j += 1
    return j


def _it_is_not(k: int, end: int, stream: Stream) -> bool:
    """ "Sweet it is not": the note first, then its pronoun and a bare denial."""
    pronoun = stream.low[k] in {"it", "this", "they", "that"}
    denied = stream.low[k + 1 : k + 2] and stream.low[k + 1] in BEING
    return (
        bool(pronoun and denied)
        and stream.low[k + 2 : k + 3] == ("not",)
        and (k + 3 >= end or stream.gap[k + 3] > NONE or stream.low[k + 3] in _TRAILS)
    )


def _fronted(k: int, end: int, stream: Stream, marks: Marks) -> int:
    """ "Cedar I don't find any more": the note first, then its subject and a denied verb."""
    denied = False
    for j in range(k, min(end, k + 8)):
        if j > k and stream.gap[j] == COMMA:
            return 0
        if marks.end(j, "stays"):
            return 1
        if marks.end(j, "absent.search") and nothing_named(
            marks.end(j, "absent.search"), end, stream
        ):
            return -1
        if stream.low[j] in {"nothing", "none"}:
            return -1
        if stream.low[j] in NOT:
            denied = True
        elif denied and stream.low[j] in _SENSES:
            return -1 if nothing_named(j + 1, end, stream) else 0
    return 0


def nothing_named(k: int, end: int, stream: Stream) -> bool:
    """Whether the verb before `k` has no object of its own."""
    if k >= len(stream) or stream.gap[k]:
        return True
    return (
        k < end
        and stream.low[k] in _TRAILS
        and not (
            stream.low[k] in {"any", "the", "this"}
            and stream.low[k + 1 : k + 2] not in {("more",), ("time",), ()}
        )
    )
