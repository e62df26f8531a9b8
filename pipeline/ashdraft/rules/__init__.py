"""The rule layer: what the utterances say, as plain records.

`read` is the whole of it. spaCy objects stay in `nlp.py`.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..model import Reading, Said, Utterance

__all__ = ["read", "versions"]


def versions() -> tuple[str, str]:
    """Language model with its version, and a fingerprint of lexicon, cues and weights."""
    from .data import fingerprint
    from .nlp import language_model

    return language_model(), fingerprint()


def read(said: Sequence[Said]) -> Reading:
    """Sections, thirds, notes, events, counts, facts, marks and chapters of one recording.

    `said` in time order, ids counting from 0. Never raises for any text.
    """
    from .chapter_titles import Spoken
    from .chapters import chapters
    from .counts import count, find_events
    from .facts import read_facts, read_marks
    from .nlp import analyse
    from .notes import settle
    from .place import place, recorded_as

    lines = analyse(said)
    recorded = recorded_as(lines)
    placed = place(lines, recorded)
    notes = settle(lines, placed)
    counted = count(lines, placed, find_events(lines))
    facts = read_facts(lines, placed)
    marks = read_marks(lines, placed)
    spoken = Spoken(notes, counted.touch_ups, counted.relights, facts.values)
    return Reading(
        kind=recorded,
        utterances=tuple(
            Utterance(
                u.id,
                u.start,
                u.end,
                u.heard,
                u.said,
                u.text,
                p.section,
                p.third,
                p.basis,
                p.confidence,
            )
            for u, p in zip(said, placed, strict=True)
        ),
        descriptors=notes,
        events=counted.events,
        touch_ups=counted.touch_ups,
        relights=counted.relights,
        facts=facts.values,
        fact_evidence=facts.evidence,
        timing=counted.timing,
        marks=marks.last,
        earlier_marks=marks.earlier,
        chapters=chapters(lines, placed, recorded, counted.events, spoken),
        checks=(*counted.checks, *facts.checks),
    )
