"""Under each heading: of how many sticks a thing was said, denied, or not mentioned."""

from __future__ import annotations

from collections.abc import Sequence

from ..assemble.coverage import HEADINGS
from ..assemble.markdown import added, escape
from ..sheet.topics import Topic, spoken, topics
from .sticks import Stick


def status(heading: str, sticks: Sequence[Stick], third: int | None = None) -> str:
    """Return the line of a heading: `Said: wrapper colour (3 of 3). Not mentioned: veins.`"""
    known = topics()
    rows = [
        (topic.name, _counted(topic, sticks, third))
        for topic in map(known.get, HEADINGS[heading])
        if topic
    ]
    of = len(sticks)

    def counted(name: str, k: int) -> str:
        return f"{escape(name)} ({k} of {of})" if of > 1 else escape(name)

    said = [counted(name, k) for name, (k, _) in rows if k]
    denied = [counted(name, k) for name, (_, k) in rows if k]
    silent = [escape(name) for name, (k, no) in rows if not k and not no]
    parts = [
        f"{words}: {', '.join(found)}."
        for words, found in (
            ("Said", said),
            ("Said not to be there", denied),
            ("Not mentioned in any stick" if of > 1 else "Not mentioned", silent),
        )
        if found
    ]
    return added(" ".join(parts))


def _counted(topic: Topic, sticks: Sequence[Stick], third: int | None) -> tuple[int, int]:
    """Return in how many sticks a topic was spoken of, and in how many only denied."""
    found = [spoken(topic, stick.reading, third).status for stick in sticks]
    return found.count("said"), found.count("absent")
