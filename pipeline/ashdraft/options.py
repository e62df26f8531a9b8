"""One typed options object, checked before any work begins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from .errors import UsageError
from .facts import checked
from .model import FactValue

DEVICES = ("cpu", "cuda")


@dataclass(frozen=True, slots=True)
class Options:
    """What one run of `ashdraft write` is asked to do.

    `model` is an installed model's name (see models/ashdraft_models/speech/weights.toml), a
    folder that holds a converted model, or, with `download`, a name on the model hub.
    `sheet` is a score-sheet file, None the one that ships. `blind` withholds name, maker and
    price in the draft until its tally is closed. `facts` are what the reviewer typed,
    by the keys of ashdraft.facts. `threads` 0 means: as many as the machine has cores.
    """

    inputs: tuple[Path, ...]
    out: Path | None = None
    model: str = "base"
    device: str = "cpu"
    threads: int = 0
    download: bool = False
    force: bool = False
    caution: bool = True
    sheet: Path | None = None
    blind: bool = False
    facts: Mapping[str, FactValue] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.inputs:
            raise UsageError("No recording was given.", "Type: ashdraft write RECORDING")
        if self.device not in DEVICES:
            raise UsageError(
                f"Unknown device {self.device!r}.", f"Use one of: {', '.join(DEVICES)}"
            )
        if self.threads < 0:
            raise UsageError("--threads cannot be negative.", "Leave it out to use every core.")
        try:
            facts = {key: checked(key, value) for key, value in self.facts.items()}
        except ValueError as fault:
            raise UsageError(
                f"A fact cannot be used: {fault}.", "See: ashdraft write --help"
            ) from None
        object.__setattr__(self, "facts", facts)
