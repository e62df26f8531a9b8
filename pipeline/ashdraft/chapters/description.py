"""`chapters.txt`: chapter lines for a video description.

The rule is the large video platform's (YouTube Help, Video chapters, answer 9884579): first
time 0:00, at least three, ascending, each at least 10 s long, the last one to the end of the
video. One broken rule silently disables them all, so none is broken here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..export.clock import chapter_time
from .entry import Listing, Span, clean

SHORTEST = 10
FEWEST = 3
TITLE_CHARACTERS = 49
"""What the platform's hover label shows (Vevo support, YouTube Chapters)."""
BYTES = 5_000
"""What the platform takes as a whole description (its programming interface's documentation)."""
JOINT = " / "


@dataclass(frozen=True, slots=True)
class Description:
    """The file's text, and why it is no chapter list where it cannot be one."""

    text: str
    problem: str | None = None


def description(listing: Listing) -> Description:
    """Return description chapters, in whole seconds.

    A chapter that would be shorter than 10 s after flooring is merged with the one before.
    Where three chapters cannot be made, the text lists the topics in words instead.
    """
    spans = listing.spans()
    merged = _merge(spans, listing.length // 1000) if listing.length >= SHORTEST * 1000 else []
    if len(merged) >= FEWEST:
        return Description("".join(_fitted(merged)))
    topics = "".join(f"{_bare(s.title)}, from {chapter_time(s.start // 1000)}\n" for s in spans)
    problem = (
        f"No chapter list for a video description: it needs at least {FEWEST} chapters of "
        f"{SHORTEST} seconds or more, and this recording gives {len(merged)}."
    )
    return Description(f"{problem}\n{topics}", problem)


def _merge(spans: Sequence[Span], length: int) -> list[tuple[int, str]]:
    """Return whole seconds and titles; `length` is the video's, in whole seconds."""
    groups: list[tuple[int, list[Span]]] = []
    for span in spans:
        start = span.start // 1000 if groups else 0
        if groups and (start - groups[-1][0] < SHORTEST or length - start < SHORTEST):
            groups[-1][1].append(span)
        else:
            groups.append((start, [span]))
    return [(start, _title(group)) for start, group in groups]


def _title(group: Sequence[Span]) -> str:
    """Return the titles of merged chapters side by side, or the longest one's where too long."""
    joined = JOINT.join(dict.fromkeys(_bare(s.title) for s in group))
    if len(joined) <= TITLE_CHARACTERS:
        return joined
    title = _bare(max(group, key=lambda s: s.end - s.start).title)
    if len(title) <= TITLE_CHARACTERS:
        return title
    head, _, _ = title[:TITLE_CHARACTERS].rpartition(" ")
    return f"{(head or title)[: TITLE_CHARACTERS - 1].rstrip(' ,;:')}…"


def _fitted(merged: Sequence[tuple[int, str]]) -> list[str]:
    """Return the lines; where they are too many for a description, without the shortest ones."""
    rows = [(start, f"{chapter_time(start)} {title}\n") for start, title in merged]
    size = sum(len(line.encode()) for _, line in rows)
    while size > BYTES:
        at = min(range(1, len(rows) - 1), key=lambda i: rows[i + 1][0] - rows[i][0])
        size -= len(rows.pop(at)[1].encode())
    return [line for _, line in rows]


def _bare(title: str) -> str:
    """The platform takes no angle brackets in a description."""
    return clean("".join(c for c in title if c not in "<>"))
