"""The plain records that flow from stage to stage. Times are seconds on the joined timeline."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Section = Literal[
    "setup", "appearance", "pre-light", "palate", "burn",
    "presentation", "pairing", "verdict", "aside",
]  # fmt: skip
SECTIONS: tuple[Section, ...] = (
    "setup", "appearance", "pre-light", "palate", "burn",
    "presentation", "pairing", "verdict", "aside",
)  # fmt: skip
ThirdBasis = Literal["said", "cue", "carried", "timed"]
Polarity = Literal["present", "absent"]
Source = Literal["wrapper", "foot", "cold-draw", "palate", "retrohale", "finish", "room"]
Intensity = Literal["faint", "plain", "strong"]
EventKind = Literal[
    "lit", "touch-up", "relight", "ash-drop", "second-third", "final-third", "band-off", "put-down"
]
FactValue = str | float | int
Kind = Literal["live", "narration"]


@dataclass(frozen=True, slots=True)
class Recording:
    """One input file. `offset` and `duration` in seconds; `recorded_at` is ISO 8601 or None."""

    file: str
    sha256: str
    offset: float
    duration: float
    recorded_at: str | None = None


@dataclass(frozen=True, slots=True)
class Word:
    """One recognised word with its time span and the recogniser's probability (0 to 1)."""

    text: str
    start: float
    end: float
    probability: float = 1.0


@dataclass(frozen=True, slots=True)
class Heard:
    """One utterance as transcribed: a sentence or breath group, never altered afterwards.

    `words` is empty for transcripts that carry no word times.
    """

    start: float
    end: float
    text: str
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Transcript:
    """What intake or recognition hands on: utterances in time order on one timeline."""

    recordings: tuple[Recording, ...]
    utterances: tuple[Heard, ...]
    speech_model: str | None = None
    language: str | None = None
    notices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Repair:
    """A mis-hearing put right (or, when `applied` is false, only suggested)."""

    heard: str
    meant: str
    utterance: int
    reason: str
    confidence: float
    applied: bool = True


@dataclass(frozen=True, slots=True)
class Said:
    """An utterance after repair. `said` keeps every word; `text` is tidied for reading."""

    id: int
    start: float
    end: float
    heard: str
    said: str
    text: str
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Utterance:
    """An utterance after reading: what it is about and which third it describes."""

    id: int
    start: float
    end: float
    heard: str
    said: str
    text: str
    section: Section
    third: int | None
    third_basis: ThirdBasis | None
    confidence: float


@dataclass(frozen=True, slots=True)
class Descriptor:
    """A tasting note the speaker reports as their own."""

    term: str
    family: str
    polarity: Polarity
    source: Source
    intensity: Intensity
    section: Section
    third: int | None
    utterance: int
    start: float
    quote: str


@dataclass(frozen=True, slots=True)
class Event:
    kind: EventKind
    third: int | None
    utterance: int
    start: float


@dataclass(frozen=True, slots=True)
class Count:
    """A reconciled count; `by_third` has three entries; `utterances` is its evidence."""

    total: int
    by_third: tuple[int, int, int]
    utterances: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Timing:
    lit: float | None = None
    second_third: float | None = None
    final_third: float | None = None
    put_down: float | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """A spoken mark; `scale` is None where the speaker named none."""

    item: str
    value: float
    scale: float | None
    utterance: int


@dataclass(frozen=True, slots=True)
class Chapter:
    start: float
    title: str
    section: Section
    third: int | None


@dataclass(frozen=True, slots=True)
class Check:
    """Something for the reviewer to look at before publishing.

    `kind` is one of: hearing, repair, contradiction, count, fact, third, missing, input.
    """

    kind: str
    message: str
    utterances: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything the rule layer understood. `fact_evidence` maps a fact to utterance ids.

    `earlier_marks` are marks that a later one in `marks` replaced, in the order said; they are
    not written into notes.json.
    """

    kind: Kind
    utterances: tuple[Utterance, ...]
    descriptors: tuple[Descriptor, ...] = ()
    events: tuple[Event, ...] = ()
    touch_ups: Count = Count(0, (0, 0, 0), ())
    relights: Count = Count(0, (0, 0, 0), ())
    facts: Mapping[str, FactValue] = field(default_factory=dict)
    fact_evidence: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    timing: Timing = Timing()
    marks: tuple[Mark, ...] = ()
    earlier_marks: tuple[Mark, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    checks: tuple[Check, ...] = ()


@dataclass(frozen=True, slots=True)
class MadeBy:
    ashdraft: str
    speech_model: str | None
    language_model: str
    lexicon: str


@dataclass(frozen=True, slots=True)
class MarkedRow:
    """A row of a tallied sheet; `mark` is None where it was left blank or dashed.

    `section` is the id of the section that the row is of.
    """

    id: str
    section: str
    mark: float | None
    comment: str = ""


@dataclass(frozen=True, slots=True)
class MarkedSection:
    """`total` is the weighted mean of the marked rows, on the sheet's scale; None without one."""

    id: str
    total: float | None
    weight_marked: float


@dataclass(frozen=True, slots=True)
class MarkedSheet:
    """The marks that the reviewer typed. `total` is None until no row is in `unmarked`."""

    name: str
    closed: bool
    rows: tuple[MarkedRow, ...]
    sections: tuple[MarkedSection, ...]
    total: float | None
    unmarked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tapped:
    """Something the reviewer tapped while recording; `start` in seconds on the timeline.

    `utterance` tells of the same event, or is None where nothing was said of it.
    """

    kind: EventKind
    basis: Literal["tapped"]
    third: int | None
    utterance: int | None
    start: float


@dataclass(frozen=True, slots=True)
class Notes:
    """The whole of notes.json (see docs/notes-format.md) plus what the draft needs beside it."""

    made_by: MadeBy
    recordings: tuple[Recording, ...]
    reading: Reading
    repairs: tuple[Repair, ...] = ()
    checks: tuple[Check, ...] = ()
    typed_facts: Mapping[str, FactValue] = field(default_factory=dict)
    sheet: MarkedSheet | None = None
    taps: tuple[Tapped, ...] = ()
