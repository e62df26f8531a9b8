"""Small stand-ins for the stages, so that their order can be tested without any of them."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType, SimpleNamespace
from typing import Any

import pytest
from ashdraft.model import (
    Chapter,
    Check,
    Count,
    Event,
    Heard,
    Reading,
    Recording,
    Said,
    Transcript,
    Utterance,
)

LINES = ("Eight dollars fifty.", "Lit.", "Touched it up once.", "Would buy again.")


def transcript(**changes: Any) -> Transcript:
    made = {
        "recordings": (Recording("stick.wav", "0" * 64, 0.0, 90.0),),
        "utterances": tuple(Heard(i * 20.0, i * 20.0 + 4, text) for i, text in enumerate(LINES)),
        "speech_model": "base",
    }
    return Transcript(**{**made, **changes})


@dataclass
class Chain:
    """What the stand-in stages give, and which were called in which order."""

    ready: Transcript | None = None
    heard: Transcript = field(default_factory=transcript)
    calls: list[str] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    chapters: tuple[float, ...] = (0.0, 20.0, 40.0)

    def open_session(self, inputs: Sequence[Path]) -> SimpleNamespace:
        self.calls.append("intake")
        return SimpleNamespace(transcript=self.ready)

    def transcribe(self, session: Any, options: Any, work: Path, progress: Any) -> Transcript:
        self.calls.append("transcribe")
        assert work.is_dir()
        return self.heard

    def repair(
        self, utterances: Sequence[Heard], names: Sequence[str]
    ) -> tuple[tuple[Said, ...], tuple[()]]:
        self.calls.append("repair")
        self.names = list(names)
        said = tuple(
            Said(i, u.start, u.end, u.text, u.text, u.text) for i, u in enumerate(utterances)
        )
        return said, ()

    def read(self, said: Sequence[Said]) -> Reading:
        self.calls.append("rules")
        return Reading(
            kind="live",
            utterances=tuple(
                Utterance(s.id, s.start, s.end, s.heard, s.said, s.text, "burn", 1, "said", 0.9)
                for s in said
            ),
            events=(Event("touch-up", 1, said[-1].id, said[-1].start),),
            touch_ups=Count(1, (1, 0, 0), (said[-1].id,)),
            facts={"price": 8.5, "currency": "USD"},
            fact_evidence={"price": (0,)},
            chapters=tuple(Chapter(at, f"From {at:.0f}", "burn", 1) for at in self.chapters),
            checks=(Check("missing", "Nothing was said about the ash."),),
        )

    def load_sheet(self, path: Path | None) -> str:
        self.calls.append("sheet")
        return "sheet"

    def draft(self, notes: Any, sheet: Any, *, caution: bool) -> str:
        self.calls.append("assemble")
        return f"# Draft\n\n{len(notes.checks)} checks, caution {caution}\n"


@pytest.fixture
def chain(monkeypatch: pytest.MonkeyPatch) -> Chain:
    made = Chain()
    stages: dict[str, dict[str, Any]] = {
        "intake": {"open_session": made.open_session},
        "transcribe": {"transcribe": made.transcribe},
        "repair": {"repair": made.repair, "doubtful": lambda utterances, repairs: ()},
        "rules": {"read": made.read, "versions": lambda: ("language 1.0", "abc123")},
        "sheet": {
            "load_sheet": made.load_sheet,
            "fill": lambda definition, reading: definition,
            "copy_of": lambda definition: ("sheet-0.toml", ""),
        },
        "assemble": {"draft": made.draft},
    }
    import ashdraft

    for name, functions in stages.items():
        module = ModuleType(f"ashdraft.{name}")
        vars(module).update(functions)
        monkeypatch.setitem(sys.modules, module.__name__, module)
        monkeypatch.setattr(ashdraft, name, module, raising=False)
    return made
