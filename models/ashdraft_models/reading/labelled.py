"""Labelled recordings (YAML, one file each) as plain records; see docs/labelling.md."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from ashdraft.model import Said


@dataclass(frozen=True, slots=True)
class Labelled:
    """One labelled recording; `utterances` and `gold` as in the file."""

    id: str
    author: str
    kind: str
    utterances: tuple[dict[str, Any], ...]
    gold: dict[str, Any]

    def said(self) -> tuple[Said, ...]:
        """The utterances as the rule layer takes them; each ends where the next begins."""
        starts = [float(u["at"]) for u in self.utterances]
        spoken = [u["text"] for u in self.utterances]
        ends = [
            min(start + 0.4 * max(1, len(text.split())), following)
            for start, text, following in zip(
                starts, spoken, [*starts[1:], starts[-1] + 60.0], strict=True
            )
        ]
        return tuple(
            Said(i, s, e, t, t, t)
            for i, (s, e, t) in enumerate(zip(starts, ends, spoken, strict=True))
        )


def load(path: Path) -> Labelled:
    """Read one file."""
    raw = yaml.safe_load(path.read_text(encoding="utf-8"))
    author = raw.get("author", re.sub(r"\d+$", "", raw["id"]))
    return Labelled(raw["id"], author, raw["kind"], tuple(raw["utterances"]), raw["gold"])


def load_folders(folders: Iterable[Path]) -> tuple[Labelled, ...]:
    """Every recording of some folders (or single files), in name order."""
    files: list[Path] = []
    for folder in folders:
        files += sorted(folder.glob("*.yaml")) if folder.is_dir() else [folder]
    return tuple(load(f) for f in files)


def unpunctuated(recording: Labelled) -> Labelled:
    """The same words as a raw recogniser gives them: lower case, no punctuation."""
    bare = []
    for u in recording.utterances:
        text = re.sub(r"(?<=\d)[.,](?=\d)", "\0", u["text"].lower())
        text = re.sub(r"[^\w\s'\u2019%$£€\0-]", " ", text).replace("\0", ".")
        bare.append({**u, "text": " ".join(text.replace("-", " ").split())})
    return Labelled(recording.id, recording.author, recording.kind, tuple(bare), recording.gold)
