"""Transcripts as input: .vtt and .srt, our transcript JSON, and notes.json of an earlier run."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from ..errors import NoSpeech
from ..model import Heard, Recording, Word
from . import cues
from .digest import sha256_of
from .names import shown
from .text import Fault, clean, damaged, read_text

SUFFIXES = (".vtt", ".srt", ".json")
# About four months: no session is longer, and no time beyond it is meant.
_LATEST = 1e7


@dataclass(frozen=True, slots=True)
class Read:
    """A transcript file's content; times in seconds from its own start."""

    recordings: tuple[Recording, ...]
    utterances: tuple[Heard, ...]
    duration: float
    recorded_at: datetime | None = None
    speech_model: str | None = None
    language: str | None = None
    notices: tuple[str, ...] = ()


def read_transcript(path: Path) -> Read:
    """Read a .vtt, .srt or .json transcript.

    Raises InputMissing, NotMedia (empty), NoSpeech (no words in it), or TranscriptDamaged with
    the line or entry at fault.
    """
    text = read_text(path)
    try:
        read = _READERS[path.suffix.lower()](path, text)
    except Fault as fault:
        raise damaged(path, fault) from fault
    if not read.utterances:
        raise NoSpeech(f"{shown(path)} holds no words.", "Give a transcript that does.")
    return read


def _vtt(path: Path, text: str) -> Read:
    return _cues(path, cues.read_vtt(text))


def _srt(path: Path, text: str) -> Read:
    return _cues(path, cues.read_srt(text))


def _cues(path: Path, parsed: Sequence[cues.Cue]) -> Read:
    found, rolled = cues.unroll(parsed)
    notices = (f"{shown(path)} has rolling captions; repeated lines were read once.",)
    return _read(path, cues.heard(found), notices=notices if rolled else ())


def _json(path: Path, text: str) -> Read:
    try:
        data = json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        raise Fault(error.lineno, f"this is not JSON ({error.msg})") from error
    except RecursionError as error:
        raise Fault(1, "its parts are nested too deeply") from error
    kind = data.get("format") if isinstance(data, dict) else None
    if kind not in ("ashdraft-transcript", "ashdraft-notes"):
        raise Fault(1, 'it has no "format" of "ashdraft-transcript" or "ashdraft-notes"')
    if data.get("version") != 1:
        raise Fault(_line(text, '"version"'), "only version 1 can be read")
    entries = data.get("utterances")
    if not isinstance(entries, list):
        raise Fault(_line(text, '"utterances"'), '"utterances" is not a list')
    key = "text" if kind == "ashdraft-transcript" else "heard"
    said = []
    for number, entry in enumerate(entries):
        try:
            said.append(_utterance(entry, key))
        except ValueError as error:
            line = _entry_line(text, number)
            raise Fault(line, f"utterance {number + 1}: {error}") from error
    ordered = tuple(sorted((one for one in said if one.text), key=lambda one: (one.start, one.end)))
    if kind == "ashdraft-transcript":
        return _read(path, ordered, language=_optional_text(data.get("language")))
    made_by = data.get("made_by")
    model = made_by.get("speech_model") if isinstance(made_by, dict) else None
    try:
        recordings = tuple(_recording(entry) for entry in data.get("recordings") or ())
    except (ValueError, TypeError) as error:
        raise Fault(_line(text, '"recordings"'), f"recordings: {error}") from error
    return _read(path, ordered, recordings, speech_model=_optional_text(model))


_READERS: Mapping[str, Callable[[Path, str], Read]] = {".vtt": _vtt, ".srt": _srt, ".json": _json}


def _read(
    path: Path,
    utterances: tuple[Heard, ...],
    recordings: tuple[Recording, ...] = (),
    **more: Any,
) -> Read:
    duration = max((one.end for one in utterances), default=0.0)
    if not recordings:
        recordings = (Recording(shown(path), sha256_of(path), 0.0, duration),)
    duration = max(duration, *(one.offset + one.duration for one in recordings))
    first = min(recordings, key=lambda one: one.offset)
    moment = None
    if first.recorded_at is not None:
        try:
            moment = datetime.fromisoformat(first.recorded_at)
        except ValueError as error:
            raise Fault(1, "a recording's recorded_at is no ISO 8601 time") from error
    return Read(recordings, utterances, duration, moment, **more)


def _utterance(entry: Any, key: str) -> Heard:
    if not isinstance(entry, Mapping):
        raise ValueError("it is not an object")
    text = entry.get(key)
    if not isinstance(text, str):
        raise ValueError(f'"{key}" is not text')
    start, end = _seconds(entry, "start"), _seconds(entry, "end")
    if end < start:
        raise ValueError("it ends before it starts")
    words = entry.get("words") or ()
    if not isinstance(words, list | tuple):
        raise ValueError('"words" is not a list')
    return Heard(start, end, clean(text), tuple(_word(word) for word in words))


def _word(entry: Any) -> Word:
    if not isinstance(entry, Mapping) or not isinstance(entry.get("text"), str):
        raise ValueError('a word has no "text"')
    probability = _number(entry.get("probability", 1.0), "probability")
    if not 0 <= probability <= 1:
        raise ValueError('"probability" is not between 0 and 1')
    start, end = _seconds(entry, "start"), _seconds(entry, "end")
    if end < start:
        raise ValueError("a word ends before it starts")
    return Word(clean(entry["text"]), start, end, probability)


def _recording(entry: Any) -> Recording:
    if not isinstance(entry, Mapping):
        raise ValueError("one is not an object")
    file, digest, moment = entry.get("file"), entry.get("sha256"), entry.get("recorded_at")
    if not isinstance(file, str) or not re.fullmatch(r"[0-9a-f]{64}", str(digest)):
        raise ValueError("one has no file name or no SHA-256 sum")
    if moment is not None and not isinstance(moment, str):
        raise ValueError('"recorded_at" is not text')
    offset, duration = _seconds(entry, "offset"), _seconds(entry, "duration")
    return Recording(shown(Path(file)), str(digest), offset, duration, moment)


def _seconds(entry: Mapping[str, Any], key: str) -> float:
    value = _number(entry.get(key), key)
    if not 0 <= value <= _LATEST:
        raise ValueError(f'"{key}" is no time in seconds')
    return value


def _number(value: Any, key: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f'"{key}" is not a number')
    try:
        number = float(value)
    except OverflowError as error:
        raise ValueError(f'"{key}" is not a number') from error
    if not math.isfinite(number):
        raise ValueError(f'"{key}" is not a number')
    return number


def _optional_text(value: Any) -> str | None:
    return clean(value) if isinstance(value, str) else None


def _no_constant(name: str) -> float:
    raise Fault(1, f"{name} is no JSON number")


def _line(text: str, needle: str) -> int:
    at = text.find(needle)
    return text.count("\n", 0, at) + 1 if at >= 0 else 1


def _entry_line(text: str, number: int) -> int:
    """The line on which utterance `number` (from 0) begins, found by walking the JSON text."""
    decoder = json.JSONDecoder()
    for match in re.finditer(r'"utterances"\s*:\s*\[', text):
        at = match.end()
        try:
            for _ in range(number):
                at = _after(text, at)
                _, at = decoder.raw_decode(text, at)
        except ValueError:
            continue  # a list of that name somewhere else in the file
        return text.count("\n", 0, _after(text, at)) + 1
    return 1


def _after(text: str, at: int) -> int:
    match = re.compile(r"[\s,]*").match(text, at)
    return match.end() if match else at
