"""One change made at the desk: a line of `journal.jsonl`, checked before it is taken.

`docs/desk.md` describes the lines. A line names its sentence by its place and by what was heard
there, never by a number, so that it finds it again after another run.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from ..model import SECTIONS, Intensity, Polarity, Source

LONGEST = 20_000
"""Characters of a text in a line."""
COUNTS = ("touch_ups", "relights")
MOST = 99
"""The most that a count may be set to."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """A sentence by where it was (seconds) and what the recogniser heard there."""

    start: float
    end: float
    heard: str


@dataclass(frozen=True, slots=True)
class Entry:
    """A change: what is done, to which sentence, with what. `at` is ISO 8601, in UTC."""

    do: str
    at: str
    sentence: Anchor | None
    given: Mapping[str, Any]


def line_of(entry: Entry) -> str:
    """Return the entry as its line, without the line end."""
    row: dict[str, Any] = {"at": entry.at, "do": entry.do}
    if entry.sentence:
        a = entry.sentence
        row["sentence"] = {"start": round(a.start, 3), "end": round(a.end, 3), "heard": a.heard}
    return json.dumps({**row, **entry.given}, ensure_ascii=False, allow_nan=False)


def entry_of(line: str) -> Entry:
    """Return the entry that a line holds. Raises `ValueError` for a line that makes no sense."""
    try:
        row = json.loads(line)
    except RecursionError:
        raise ValueError("not a line of the journal") from None
    if not isinstance(row, dict):
        raise ValueError("not a line of the journal")
    place = row.get("sentence")
    sentence = None
    if isinstance(place, dict):
        sentence = Anchor(
            _seconds(place.get("start")), _seconds(place.get("end")), str(place.get("heard", ""))
        )
    return checked(str(row.get("do")), str(row.get("at", "")), sentence, row)


def checked(do: str, at: str, sentence: Anchor | None, given: Mapping[str, Any]) -> Entry:
    """Return an entry with exactly the values that its kind has.

    Raises `ValueError`, saying in plain words what is wrong.
    """
    if do not in KINDS:
        raise ValueError("there is no such change")
    if (sentence is None) != (do in WITHOUT_SENTENCE):
        raise ValueError("the sentence of the change is missing or too much")
    fields = KINDS[do]
    return Entry(do, at, sentence, {key: read(given.get(key)) for key, read in fields.items()})


def _text(value: object, least: int = 1) -> str:
    if not isinstance(value, str) or len(value) > LONGEST:
        raise ValueError(f"a text of at most {LONGEST} characters is wanted")
    text = " ".join(value.split())
    if len(text) < least:
        raise ValueError("a text is missing")
    return text


def _maybe_text(value: object) -> str:
    return _text("" if value is None else value, 0)


def _seconds(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("seconds are missing")
    if not math.isfinite(value) or value < 0:
        raise ValueError("seconds cannot be negative")
    return float(value)


def _whole(low: int, high: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise ValueError(f"a whole number from {low} to {high} is wanted")
        return value

    return read


def _one_of(*choices: str) -> Callable[[object], str]:
    def read(value: object) -> str:
        if not isinstance(value, str) or value not in choices:
            raise ValueError(f"one of {', '.join(choices)} is wanted")
        return value

    return read


def _third(value: object) -> int | None:
    return None if value is None else _whole(1, 3)(value)


def _thirds(value: object) -> list[int]:
    if not isinstance(value, list) or len(value) != 3:
        raise ValueError("three numbers are wanted, one for each third")
    return [_whole(0, MOST)(number) for number in value]


_NOTE: Mapping[str, Callable[[object], Any]] = {
    "term": _text,
    "polarity": _one_of(*get_args(Polarity)),
    "source": _one_of(*get_args(Source)),
    "intensity": _one_of(*get_args(Intensity)),
    "family": _text,
}
KINDS: Mapping[str, Mapping[str, Callable[[object], Any]]] = {
    "correct": {"was": _text, "now": _maybe_text, "nth": _whole(0, 999)},
    "accept": {"heard": _text, "meant": _maybe_text},
    "refuse": {"heard": _text, "meant": _maybe_text},
    "move": {"section": _one_of(*SECTIONS), "third": _third},
    "strike": {},
    "merge": {},
    "split": {"before": _text, "time": _seconds},
    "note": _NOTE,
    "renote": {"old": _text, "old_polarity": _one_of(*get_args(Polarity)), **_NOTE},
    "unnote": {"old": _text, "old_polarity": _one_of(*get_args(Polarity))},
    "count": {
        "which": _one_of(*COUNTS),
        "total": _whole(0, MOST),
        "by_third": _thirds,
        "reason": _text,
    },
    "undo": {"line": _whole(1, 10**9)},
}
"""Every kind of change, and the values it has beside its sentence."""
WITHOUT_SENTENCE = ("count", "undo")
