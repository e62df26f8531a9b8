"""Sessions for the desk: folders as `ashdraft write` leaves them, without any recognition."""

from __future__ import annotations

import wave
from dataclasses import replace
from pathlib import Path

from ashdraft.assemble import draft
from ashdraft.desk import taken_up
from ashdraft.desk.entry import Anchor, Entry, checked
from ashdraft.export import notes_json
from ashdraft.model import (
    Check,
    Count,
    Descriptor,
    Event,
    Notes,
    Reading,
    Recording,
    Repair,
    Said,
    Utterance,
    Word,
)
from ashdraft.output import open_folder
from ashdraft.sheet import fill, load_sheet
from ashdraft.sheet.keep import copy_of
from ashdraft.tally import seal

from tests.assemble import gold

SAID = (
    ("It opens with white pepper.", "palate", 1),
    ("There is seeder behind it.", "palate", 1),
    ("I had to touch it up.", "burn", 1),
    ("No pepper in the second third.", "palate", 2),
    ("Relit it just now.", "burn", 2),
    ("A gentle end.", "verdict", None),
)
"""What is said, five seconds each, with a breath between; `seeder` was repaired to cedar."""
FILE = "stick.wav"


def notes() -> Notes:
    """Notes of a short live session with a repair, a doubtful hearing, notes and events."""
    utterances = tuple(
        Utterance(
            n, 6.0 * n, 6.0 * n + 5, text, text.replace("seeder", "cedar"),
            text.replace("seeder", "cedar"), section, third, "said" if third else None, 0.9,
        )
        for n, (text, section, third) in enumerate(SAID)
    )  # fmt: skip
    reading = Reading(
        kind="live",
        utterances=utterances,
        descriptors=(
            _note("white pepper", 0, 1, "white pepper"),
            _note("cedar", 1, 1, "There is cedar behind it"),
            replace(_note("pepper", 3, 2, "No pepper"), polarity="absent"),
        ),
        events=(Event("touch-up", 1, 2, 12.0), Event("relight", 2, 4, 24.0)),
        touch_ups=Count(1, (1, 0, 0), (2,)),
        relights=Count(1, (0, 1, 0), (4,)),
        facts={"wrapper": "maduro"},
        fact_evidence={"wrapper": (5,)},
    )
    made = gold.notes(reading)
    return replace(
        made,
        recordings=(Recording(FILE, "ab" * 32, 0.0, 36.0),),
        repairs=(Repair("seeder", "cedar", 1, "sounds like a tasting note", 0.9),),
        checks=(Check("hearing", "May be mis-heard: “gentle”.", (5,)),),
    )


def said(made: Notes) -> tuple[Said, ...]:
    """The sentences with a word every half second."""
    return tuple(
        Said(
            u.id, u.start, u.end, u.heard, u.said, u.text,
            tuple(_word(w, u.start + n / 2) for n, w in enumerate(u.said.split())),
        )
        for u in made.reading.utterances
    )  # fmt: skip


def write(folder: Path, made: Notes, *, recording: bool = False, blind: bool = False) -> Path:
    """Write a session folder, with a second of silence for its recording where asked."""
    sheet = load_sheet()
    with open_folder(folder) as out:
        out.keep(*copy_of(sheet))
        taken, _ = taken_up(out, made, said(made), caution=True, blind=blind)
        text = draft(taken, fill(sheet, taken.reading), caution=True)
        if blind:
            sealed = seal(text, taken)
            out.keep(*sealed.kept)
            text = sealed.text
        out.write({"draft.md": text, "notes.json": notes_json(taken)})
    if recording:
        with wave.open(str(folder.parent / FILE), "wb") as sound:
            sound.setnchannels(1)
            sound.setsampwidth(2)
            sound.setframerate(16_000)
            quiet, loud = bytes(32_000), b"\xff\x7f" * 8_000
            sound.writeframes((quiet + loud) * 24)
    return folder


def change(do: str, made: Notes, id: int | None = None, **given: object) -> Entry:
    """A change of the sentence `id` of `made`."""
    u = None if id is None else next(u for u in made.reading.utterances if u.id == id)
    return checked(
        do, "2026-03-01T20:00:00+00:00", Anchor(u.start, u.end, u.heard) if u else None, given
    )


def _word(text: str, start: float) -> Word:
    return Word(text, start, start + 0.4)


def _note(term: str, utterance: int, third: int, quote: str) -> Descriptor:
    return Descriptor(
        term, "other", "present", "palate", "plain", "palate", third, utterance,
        6.0 * utterance, quote,
    )  # fmt: skip
