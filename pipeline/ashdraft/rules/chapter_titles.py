"""Titles of chapters: plain words for the topic, then what was said there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..model import Count, Descriptor, EventKind, FactValue, Section
from .chapter_runs import Run
from .lines import Line

_TOPICS: dict[Section, str] = {
    "setup": "The cigar", "appearance": "Look and feel", "pre-light": "Before lighting",
    "palate": "Flavour", "burn": "Burn", "presentation": "Band, box and value",
    "pairing": "Pairings", "verdict": "Verdict", "aside": "Interlude",
}  # fmt: skip
_THIRDS = {1: "First third", 2: "Second third", 3: "Final third"}
_EVENTS: dict[EventKind, str] = {
    "touch-up": "Touch-up", "relight": "Relight", "ash-drop": "Ash drops", "band-off": "Band off",
    "put-down": "Put down",
}  # fmt: skip
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_LEADING = 2
_WEIGHTS = {"strong": 2.0, "plain": 1.0, "faint": 0.5}


@dataclass(frozen=True, slots=True)
class Spoken:
    """What titles are made of."""

    notes: Sequence[Descriptor]
    touch_ups: Count
    relights: Count
    facts: Mapping[str, FactValue]


def title(runs: Sequence[Run], at: int, lines: Sequence[Line], spoken: Spoken) -> str:
    """Return the title of `runs[at]`, such as `Second third: tamarind, espresso`."""
    run = runs[at]
    if run.section == "aside":
        if run.first == 0:
            return "Welcome"
        return "Sign-off" if at == len(runs) - 1 else _TOPICS["aside"]
    if run.event == "put-down":
        return _with(_EVENTS[run.event], _joined(_counted(spoken, lines[run.first : run.end])))
    if run.event:
        then = _joined(_leading(_heard(run, run.end, lines, spoken.notes)))
        return f"{_EVENTS[run.event]}, then {then}" if then else _EVENTS[run.event]
    if run.third:
        name = _THIRDS[run.third]
        name = f"Back to the {name.lower()}" if run.back else name
        end = run.end if run.back else _end_of_third(runs, at)
        return _with(name, _joined(_leading(_heard(run, end, lines, spoken.notes))))
    name = _TOPICS[run.section]
    if run.section in ("palate", "pre-light"):
        return _with(name, _joined(_leading(_heard(run, run.end, lines, spoken.notes))))
    if run.section == "burn":
        return _with(name, _joined(_counted(spoken, lines[run.first : run.end])))
    if run.section == "setup":
        return _with(name, str(spoken.facts.get("format", "")))
    return name


def _end_of_third(runs: Sequence[Run], at: int) -> int:
    """A third named once stands for all of it, whatever happened in between."""
    end = runs[at].end
    for run in runs[at + 1 :]:
        if run.third != runs[at].third or (run.section == "palate" and not run.back):
            break
        end = run.end
    return end


def _heard(
    run: Run, end: int, lines: Sequence[Line], notes: Sequence[Descriptor]
) -> list[Descriptor]:
    """Notes present in the stretch; where a third is told, those of that third if there are any."""
    ids = {line.id for line in lines[run.first : end]}
    here = [
        n for n in notes if n.utterance in ids and n.polarity == "present" and n.source != "room"
    ]
    if run.section == "pre-light":
        return here
    palate = [n for n in here if n.section == "palate"]
    return [n for n in palate if n.third == run.third] or palate


def _leading(notes: Sequence[Descriptor]) -> list[str]:
    """The notes that weigh most, the strong twice; "pepper" counts for "black pepper"."""
    weights: dict[str, float] = {}
    for note in notes:
        weights[note.term] = weights.get(note.term, 0.0) + _WEIGHTS[note.intensity]
    for short in list(weights):
        longer = [t for t in weights if set(short.split()) < set(t.split())]
        if longer:
            weights[longer[0]] += weights.pop(short)
    return sorted(weights, key=lambda term: -weights[term])[:_LEADING]


def _counted(spoken: Spoken, lines: Sequence[Line]) -> list[str]:
    """Touch-ups and relights in words, where this stretch tells of them."""
    ids = {line.id for line in lines}
    kinds = (("touch-up", spoken.touch_ups), ("relight", spoken.relights))
    return [
        f"{_NUMBERS[count.total]} {kind}{'' if count.total == 1 else 's'}"
        for kind, count in kinds
        if 0 < count.total < len(_NUMBERS) and ids.intersection(count.utterances)
    ]


def _joined(items: Sequence[str]) -> str:
    return ", ".join(items)


def _with(name: str, what: str) -> str:
    return f"{name}: {what}" if what else name
