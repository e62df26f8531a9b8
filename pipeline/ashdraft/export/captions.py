"""`captions.vtt` and `captions.srt` from the tidied text and, where there are any, word times."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from itertools import pairwise

from ..model import Said
from . import clock, wrap

SHORTEST_MS = 200
"""Two cues never begin closer together; where speech overlaps, the later one waits."""
READABLE_MS = 833
"""A shorter cue stays up this long if nothing follows (5/6 s: Netflix, Timed Text guide)."""


@dataclass(frozen=True, slots=True)
class Cue:
    """One caption: whole milliseconds, end > start, one or two lines of unescaped text."""

    start: int
    end: int
    lines: tuple[str, ...]


def cues(utterances: Sequence[Said]) -> tuple[Cue, ...]:
    """Return captions in time order that never overlap; utterances without text give none."""
    found = sorted((c for u in utterances for c in _cut(u)), key=lambda c: (c.start, c.end))
    return tuple(_apart(found))


def captions_vtt(utterances: Sequence[Said]) -> str:
    """Return a WebVTT file (W3C, WebVTT: the Web Video Text Tracks Format)."""
    blocks = ["WEBVTT\n"]
    for cue in cues(utterances):
        blocks.append(
            f"{clock.vtt_time(cue.start)} --> {clock.vtt_time(cue.end)}\n"
            + "".join(f"{_vtt_text(line)}\n" for line in cue.lines)
        )
    return "\n".join(blocks)


def captions_srt(utterances: Sequence[Said]) -> str:
    """Return a SubRip file: counter from 1, decimal comma, UTF-8, line feeds."""
    return "\n".join(
        f"{number}\n{clock.srt_time(cue.start)} --> {clock.srt_time(cue.end)}\n"
        + "".join(f"{_srt_text(line)}\n" for line in cue.lines)
        for number, cue in enumerate(cues(utterances), start=1)
    )


def _cut(utterance: Said) -> Iterable[Cue]:
    words = wrap.tokens(utterance.text)
    spans = _spans(words, utterance)
    runs = wrap.chunks(words)
    for first, behind in runs:
        start = utterance.start if first == 0 else spans[first][0]
        end = utterance.end if behind == len(words) else spans[behind - 1][1]
        yield Cue(
            clock.milliseconds(start), clock.milliseconds(end), wrap.lines(words[first:behind])
        )


def _spans(words: Sequence[str], utterance: Said) -> list[tuple[float, float]]:
    """Return seconds for each word of the text: the recogniser's, else by share of letters."""
    known: dict[int, tuple[float, float]] = {}
    matcher = SequenceMatcher(
        None, [_key(w) for w in words], [_key(w.text) for w in utterance.words], autojunk=False
    )
    for at, heard_at, size in matcher.get_matching_blocks():
        for step in range(size):
            word = utterance.words[heard_at + step]
            known[at + step] = (word.start, word.end)
    spans: list[tuple[float, float]] = []
    clock_now = utterance.start
    at = 0
    while at < len(words):
        if at in known:
            spans.append(known[at])
            clock_now = known[at][1]
            at += 1
            continue
        behind = next((i for i in range(at, len(words)) if i in known), len(words))
        until = known[behind][0] if behind < len(words) else utterance.end
        spans += _shares(words[at:behind], clock_now, max(until, clock_now))
        clock_now, at = until, behind
    return spans


def _shares(words: Sequence[str], start: float, end: float) -> list[tuple[float, float]]:
    letters = sum(len(w) + 1 for w in words)
    per_letter = (end - start) / letters
    spans, done = [], 0
    for word in words:
        reached = done + len(word) + 1
        spans.append((start + done * per_letter, start + reached * per_letter))
        done = reached
    return spans


def _apart(found: Sequence[Cue]) -> Iterable[Cue]:
    earliest = 0
    placed = []
    for cue in found:
        start = max(cue.start, earliest)
        placed.append(replace(cue, start=start, end=max(cue.end, start + READABLE_MS)))
        earliest = start + SHORTEST_MS
    for cue, following in pairwise(placed):
        yield replace(cue, end=min(cue.end, following.start))
    yield from placed[-1:]


def _key(word: str) -> str:
    return "".join(c for c in word.casefold() if c.isalnum())


def _vtt_text(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _srt_text(line: str) -> str:
    """SubRip has no escapes: look-alikes stand for what players take as tags or arrows."""
    return line.replace("<", "‹").replace(">", "›").replace("{\\", "{ \\")
