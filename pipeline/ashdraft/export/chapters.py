"""`chapters.txt`: chapter lines for a video description.

The rule is the large video platform's (YouTube Help, Video chapters, answer 9884579): first
time 0:00, at least three, ascending, each at least 10 s long, the last one to the end of the
video. One broken rule silently disables them all, so none is broken here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..model import Chapter
from . import clock

SHORTEST = 10
FEWEST = 3
TITLE_CHARACTERS = 49
"""What the platform's hover label shows (Vevo support, YouTube Chapters)."""
JOINT = " / "


@dataclass(frozen=True, slots=True)
class ChapterText:
    """The file's text, and why it is no chapter list where it cannot be one."""

    text: str
    problem: str | None = None


def chapters_txt(chapters: Sequence[Chapter], duration: float) -> ChapterText:
    """Return description chapters for a recording of `duration` seconds.

    A chapter that would be shorter than 10 s after flooring is merged with the one before.
    Where three chapters cannot be made, the text lists the topics in words instead.
    """
    in_order = sorted(chapters, key=lambda c: c.start)
    spans = _merge(in_order, duration) if in_order and duration >= SHORTEST else []
    if len(spans) >= FEWEST:
        rows = (f"{clock.chapter_time(start)} {title}\n" for start, title in spans)
        return ChapterText("".join(rows))
    topics = "".join(
        f"{_clean(c.title)}, from {clock.chapter_time(int(c.start))}\n" for c in in_order
    )
    problem = (
        f"No chapter list for a video description: it needs at least {FEWEST} chapters of "
        f"{SHORTEST} seconds or more, and this recording gives {len(spans)}."
    )
    return ChapterText(f"{problem}\n{topics}", problem)


def _merge(chapters: Sequence[Chapter], duration: float) -> list[tuple[int, str]]:
    groups: list[tuple[int, list[Chapter]]] = []
    for chapter in chapters:
        start = int(chapter.start) if groups else 0
        if groups and (start - groups[-1][0] < SHORTEST or duration - start < SHORTEST):
            groups[-1][1].append(chapter)
        else:
            groups.append((start, [chapter]))
    ends = [c.start for c in chapters[1:]] + [duration]
    lengths = {id(c): end - c.start for c, end in zip(chapters, ends, strict=True)}
    return [(start, _title(group, lengths)) for start, group in groups]


def _title(group: Sequence[Chapter], lengths: dict[int, float]) -> str:
    titles = list(dict.fromkeys(_clean(c.title) for c in group))
    joined = JOINT.join(titles)
    if len(joined) <= TITLE_CHARACTERS:
        return joined
    title = _clean(max(group, key=lambda c: lengths[id(c)]).title)
    if len(title) <= TITLE_CHARACTERS:
        return title
    head, _, _ = title[:TITLE_CHARACTERS].rpartition(" ")
    return f"{(head or title)[: TITLE_CHARACTERS - 1].rstrip(' ,;:')}…"


def _clean(title: str) -> str:
    kept = "".join(c if c.isprintable() else " " for c in title if c not in "<>")
    return " ".join(kept.split()) or "Untitled"
