"""What a review is expected to speak about, and whether this one did (sheets/topics.toml)."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal, get_args

import ashdraft_models

from ..errors import DataDamaged
from ..model import SECTIONS, Reading, Section, Source, Utterance

PATH = ashdraft_models.ROOT / "sheets" / "topics.toml"
KEYS = frozenset({"id", "name", "sections", "sources", "words", "thirds", "absent"})

LONGEST_ANNOUNCEMENT = 9

Status = Literal["said", "absent", "silent"]

_BEFORE = re.compile(r"(?:\b(?:no|not|never|without|none|nil|zero)|n't)(?: \w+){0,2} $")
_AFTER = re.compile(r"^(?:,|\.|:)? (?:none|no|nil|zero|nothing)\b")
_COUNTED = re.compile(r"\b(?:number|part) \w+")
_EXCEPT = re.compile(r"^[, ]+(?:bar|except|apart|but|only)\b")


@dataclass(frozen=True, slots=True)
class Topic:
    """One thing to speak about; `thirds` asks for it in each third."""

    id: str
    name: str
    sections: tuple[Section, ...]
    sources: tuple[Source, ...]
    words: re.Pattern[str]
    thirds: bool
    absent: bool


@dataclass(frozen=True, slots=True)
class Spoken:
    """Whether a topic was spoken about, and the ids of the utterances that did."""

    status: Status
    utterances: tuple[int, ...]


@cache
def topics() -> dict[str, Topic]:
    """Return the topics by id, in the order of the draft.

    Raises `DataDamaged`, which names the topic that is wrong.
    """
    found: dict[str, Topic] = {}
    for entry in _raw().get("topic", []):
        topic = _topic(entry)
        if topic.id in found:
            raise DataDamaged(
                f"{PATH.name}: the topic {topic.id!r} stands twice.", "Mend the file."
            )
        found[topic.id] = topic
    return found


def announces(text: str) -> bool:
    """Return True for a sentence that only announces what comes next: `Second third.`"""
    known = frozenset(_raw().get("announcing", []))
    words = re.findall(r"[\w'-]+", _COUNTED.sub("", text.lower()))
    return 0 < len(words) <= LONGEST_ANNOUNCEMENT and known.issuperset(words)


def spoken(topic: Topic, reading: Reading, third: int | None = None) -> Spoken:
    """Return whether `topic` was spoken about, in one third or (None) anywhere.

    "absent" means that all that was said of it is that it was not there.
    """
    there: list[int] = []
    not_there: list[int] = []
    for utterance in reading.utterances:
        if utterance.section in topic.sections and _in_third(utterance.third, third):
            found = mentioned(topic, utterance)
            if found != "silent":
                (there if found == "said" else not_there).append(utterance.id)
    for note in reading.descriptors:
        placed = note.section in topic.sections and _in_third(note.third, third)
        if placed and note.source in topic.sources:
            there.append(note.utterance)
    if there:
        return Spoken("said", tuple(sorted({*there, *not_there})))
    return Spoken("absent" if not_there else "silent", tuple(not_there))


def mentioned(topic: Topic, utterance: Utterance) -> Status:
    """Return what one utterance says of a topic, by its words alone."""
    text = loosened(utterance.said)
    status: Status = "silent"
    for match in topic.words.finditer(text):
        after = text[match.end() :]
        denied = _BEFORE.search(text[: match.start()]) or _AFTER.match(after)
        if not (topic.absent and denied) or _EXCEPT.match(after):
            return "said"
        status = "absent"
    return status


def loosened(text: str) -> str:
    """Return a text as words are looked for in it: lower case, no hyphens, plain apostrophes."""
    return text.lower().replace("’", "'").replace("-", " ")


@cache
def _raw() -> dict[str, Any]:
    try:
        return tomllib.loads(PATH.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{PATH.name} cannot be read: {error}", "Mend the file.") from error


def _in_third(own: int | None, asked: int | None) -> bool:
    return asked is None or own == asked


def _topic(entry: dict[str, object]) -> Topic:
    name = entry.get("id")

    def wrong(what: str) -> DataDamaged:
        return DataDamaged(f"{PATH.name}: the topic {name!r}: {what}.", "Mend the file.")

    def strings(key: str, allowed: Sequence[str] | None = None) -> tuple[str, ...]:
        value = entry.get(key, [])
        if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
            raise wrong(f"{key} must be a list of words")
        if allowed is not None and (odd := [v for v in value if v not in allowed]):
            raise wrong(f"{key} cannot have {odd[0]!r}, only {', '.join(allowed)}")
        return tuple(value)

    if not isinstance(name, str) or not isinstance(entry.get("name"), str):
        raise wrong("id and name must be text")
    if unknown := sorted(entry.keys() - KEYS):
        raise wrong(f"there is no key {unknown[0]!r}")
    words = sorted((loosened(w) for w in strings("words")), key=len, reverse=True)
    pattern = "|".join(re.escape(w) for w in words)
    return Topic(
        id=name,
        name=str(entry["name"]),
        sections=tuple(s for s in SECTIONS if s in strings("sections", SECTIONS)),
        sources=tuple(s for s in get_args(Source) if s in strings("sources", get_args(Source))),
        words=re.compile(rf"(?<!\w)(?:{pattern})(?:'s)?(?!\w)"),
        thirds=entry.get("thirds") is True,
        absent=entry.get("absent") is True,
    )
