"""Clauses and sentences of a stream, so that scopes end where a speaker's thought ends."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from .stream import NONE, STOP, Stream

_STARTERS = {
    "but", "though", "although", "because", "so", "while", "which", "whereas", "however",
    "except", "then", "yet",
}  # fmt: skip
_SUBJECTS = {"i", "you", "we", "it", "there", "that", "this", "he", "she", "they", "what", "here"}
_PERSONS = {"i", "you", "we", "he", "she", "they"}
_VERBS = {
    "'s", "is", "was", "are", "were", "has", "had", "have", "am", "'d", "will", "would", "can",
    "could", "do", "does", "did", "get", "got", "find", "found", "taste", "think", "mean", "say",
    "guess", "comes", "came", "goes", "reckon", "suppose", "swear", "wrote", "smell",
}  # fmt: skip
_GOES_ON = {
    "and", "or", "but", "that", "which", "what", "where", "if", "when", "like", "as", "than",
    "how", "because", "so", "until", "till", "do", "did", "is", "was", "am", "can", "say",
    "think", "know",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Clauses:
    """For each word its clause and sentence, as half-open ranges of words."""

    clause: tuple[tuple[int, int], ...]
    sentence: tuple[tuple[int, int], ...]


def _starts_clause(stream: Stream, i: int) -> bool:
    word = stream.low[i]
    if stream.gap[i] != NONE or word in _STARTERS:
        return True
    following = stream.low[i + 1] if i + 1 < len(stream) else ""
    if word == "and":
        return following in _SUBJECTS or following in {"then", "now", "on", "in", "through", "with"}
    if word == "well":
        return following in _SUBJECTS
    verb = following in _VERBS or (word in _PERSONS and stream.pos[i + 1 : i + 2] == ("VERB",))
    return word in _SUBJECTS and verb and stream.low[i - 1] not in _GOES_ON


def clauses(stream: Stream) -> Clauses:
    """Splits the stream."""
    n = len(stream)
    edges = [i for i in range(n) if i == 0 or _starts_clause(stream, i)]
    stops = [i for i in range(n) if i == 0 or stream.gap[i] == STOP]
    return Clauses(_ranges(edges, n), _ranges(stops, n))


def _ranges(starts: list[int], n: int) -> tuple[tuple[int, int], ...]:
    out: list[tuple[int, int]] = []
    for first, end in pairwise([*starts, n]):
        out += [(first, end)] * (end - first)
    return tuple(out)
