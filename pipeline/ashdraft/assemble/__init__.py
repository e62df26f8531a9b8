"""The draft: the speaker's sentences in their places, and beside them what the tool found."""

from __future__ import annotations

from ..model import Notes, Reading
from ..sheet.definition import FilledSheet
from .burn import burn
from .checks import checks
from .coverage import plain_status, status_line
from .front import front_matter
from .glance import glance
from .markdown import added, escape, items, quoted
from .palate import palate
from .placing import Places, place
from .prose import prose
from .score import score
from .times import clock, definitions, read_times

__all__ = ["draft", "read_times"]

HOW_TO_READ = (
    "Plain text is the speaker's own. What stands in italics, in a list or in a table was added "
    "by Ashdraft and can be deleted. When each sentence was said stands in the last lines of the "
    "file, where no reader sees it."
)
CAUTION = (
    "These are one adult's notes on one cigar, for adults of legal age where they live. Smoking "
    "harms your health and that of people around you, and nicotine is addictive; no mark here "
    "recommends smoking, and nothing here is medical advice. Smoke where it cannot start a fire, "
    "and see that what you put down is out."
)
"""Our own words after the points of references 10: age, health, fire. Off only when asked."""


def draft(notes: Notes, sheet: FilledSheet, *, caution: bool) -> str:
    """Return `draft.md`: front matter, the review in its order, sheet, checks, times.

    Every sentence of the prose is an utterance's tidied text; docs/draft.md tells how the
    tool's own lines are set apart. The same notes and sheet give the same text.
    """
    reading = notes.reading
    places = place(reading)
    parts = [
        front_matter(notes, sheet, places.disclosing),
        added(HOW_TO_READ),
        _obtained(notes, places),
        _section("At a glance", glance(notes), prose(places.at("setup"))),
        _told("Appearance", "appearance", reading, places),
        _told("Before lighting", "pre-light", reading, places),
        palate(reading, places),
        burn(notes, places),
        _told("Presentation and value", "presentation", reading, places),
        _listed("Pairings", "pairing", places),
        _told("Verdict", "verdict", reading, places),
        score(sheet),
        _loose(places),
        checks(notes),
        _section("Caution", added(CAUTION)) if caution else "",
        definitions(places.in_order()),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _section(heading: str, *parts: str) -> str:
    return "\n\n".join([f"## {heading}", *(part for part in parts if part)])


def _told(heading: str, section: str, reading: Reading, places: Places) -> str:
    return _section(heading, status_line(section, reading), prose(places.at(section)))


def _listed(heading: str, section: str, places: Places) -> str:
    found = places.at(section)
    return _section(heading, plain_status(found), prose(found))


def _loose(places: Places) -> str:
    """What found no place, and the announcements that the headings made needless."""
    found = places.at("loose")
    parts = [prose(found)] if found else [added("Every other sentence found its place.")]
    if announced := places.at("announced"):
        said = "; ".join(f"{quoted(u.text)} ({clock(u.start)})" for u in announced)
        parts.append(items([f"{added('Announcements left out above:')} {said}"]))
    return _section("Loose notes", *parts)


def _obtained(notes: Notes, places: Places) -> str:
    """How the cigar was obtained, carried to the front: moved, or quoted from further down."""
    typed = notes.typed_facts.get("obtained")
    moved = places.at("obtained")
    quoted_here = [u for u in places.disclosing if u not in moved]
    status = added(f"Typed: {typed}.") if typed else plain_status(places.disclosing)
    quotes = "\n".join(f"> {escape(u.text)}" for u in quoted_here)
    return _section("How it was obtained", status, quotes, prose(moved))
