"""Sessions made up for the tests: invented names, notes and words, the same for one number."""

from __future__ import annotations

import hashlib
import json
import random
from typing import Any

from ashdraft.archive import Entry

FAMILIES = {
    "wood": ("cedar", "oak", "old cedar"),
    "spice": ("white pepper", "black pepper", "cinnamon"),
    "hay-and-grass": ("hay", "straw"),
    "sugar-and-caramel": ("burnt sugar", "honey"),
}
SOURCES = ("palate", "retrohale", "finish")
WRAPPERS = ("Habano", "Connecticut broadleaf", "San Andrés", "Corojo")
COUNTRIES = ("Nicaragua", "Honduras", "Dominican Republic")
FORMATS = ("corona gorda", "robusto", "petit corona", "toro")
FILLING = (
    "the smoke it draws and then some more of that burn line ash falls slow warm sweet dry room "
    "table light late rain good enough again left right side band leaf cap foot"
).split()
CRITERIA = (("burn-line", "burn"), ("draw", "burn"), ("balance", "palate"), ("finish", "palate"))


def document(number: int, utterances: int = 40) -> dict[str, Any]:
    """Return a notes.json: each fifth word of speech is from a note, each third has some."""
    dice = random.Random(number)
    said, descriptors = [], []
    for at in range(utterances):
        third = min(3, 1 + at * 3 // utterances)
        words = dice.choices(FILLING, k=12)
        if at % 2:
            family = dice.choice(list(FAMILIES))
            term = dice.choice(FAMILIES[family])
            words[4] = term
            descriptors.append(
                {
                    "term": term,
                    "family": family,
                    "polarity": "absent" if dice.random() < 0.1 else "present",
                    "source": dice.choice(SOURCES),
                    "intensity": "plain",
                    "section": "palate",
                    "third": third,
                    "utterance": at,
                    "start": at * 30.0,
                    "quote": " ".join(words[3:6]),
                }
            )
        text = " ".join(words)
        said.append(
            {
                "id": at,
                "start": at * 30.0,
                "end": at * 30.0 + 5,
                "heard": text,
                "said": text,
                "text": text.capitalize() + ".",
                "section": "palate",
                "third": third,
                "third_basis": "said",
                "confidence": 0.9,
            }
        )
    marks = [float(dice.randint(1, 9)) for _ in CRITERIA]
    recorded = f"{2015 + number % 10}-{1 + number % 12:02}-{1 + number % 28:02}T20:14:00+02:00"
    return {
        "format": "ashdraft-notes",
        "version": 1,
        "made_by": {
            "ashdraft": "0.1.0",
            "speech_model": "base",
            "language_model": "core",
            "lexicon": "abc",
        },
        "recordings": [
            {
                "file": f"stick{number}.m4a",
                "sha256": hashlib.sha256(str(number).encode()).hexdigest(),
                "offset": 0.0,
                "duration": 30.0 * utterances,
                "recorded_at": recorded,
            }
        ],
        "utterances": said,
        "descriptors": descriptors,
        "events": [{"kind": "touch-up", "third": 1, "utterance": 3, "start": 90.0}],
        "counts": {
            "touch_ups": {"total": 1, "by_third": [1, 0, 0], "utterances": [3]},
            "relights": {"total": 0, "by_third": [0, 0, 0], "utterances": []},
        },
        "facts": {
            "length_in": 5.625,
            "ring_gauge": 46,
            "price": round(dice.uniform(4, 20), 2),
            "currency": "EUR",
            "rest_days": dice.randint(0, 90),
            "wrapper": dice.choice(WRAPPERS),
            "country": dice.choice(COUNTRIES),
            "format": dice.choice(FORMATS),
        },
        "timing": {"lit": 10.0, "second_third": 400.0, "final_third": 800.0, "put_down": None},
        "marks": [
            {"item": "draw", "value": dice.randint(1, 10), "scale": 10.0, "utterance": 5},
        ],
        "chapters": [{"start": 0.0, "title": "Lit", "section": "palate", "third": 1}],
        "repairs": [
            {
                "heard": "see der",
                "meant": "cedar",
                "utterance": 1,
                "reason": "sounds like a trade term",
                "confidence": 0.9,
            }
        ],
        "sheet": {
            "name": "Table sheet",
            "closed": True,
            "rows": [
                {"id": row, "section": section, "mark": mark, "comment": ""}
                for (row, section), mark in zip(CRITERIA, marks, strict=True)
            ],
            "sections": [
                {"id": "burn", "total": sum(marks[:2]) / 2, "weight_marked": 50},
                {"id": "palate", "total": sum(marks[2:]) / 2, "weight_marked": 50},
            ],
            "total": sum(marks) / 4,
            "unmarked": [],
        },
    }


def entry(number: int, length: int = 40, **changes: Any) -> Entry:
    """Return session `number`; `length` utterances long; `changes` replace keys of its notes."""
    notes = document(number, length) | changes
    day = notes["recordings"][0]["recorded_at"][:10] if notes["recordings"] else None
    name, maker = f"Lantern No. {number % 700}", "Quillon"
    return Entry(
        folder=f"/somewhere/stick{number}-draft",
        notes=json.dumps(notes, ensure_ascii=False),
        title=f"{maker} {name}",
        day=day,
        typed={"name": name, "maker": maker, "obtained": "bought"},
    )
