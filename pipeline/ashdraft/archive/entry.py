"""What is kept of one session, and what makes it the same session when it comes again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ..facts import TYPED_ONLY


@dataclass(frozen=True, slots=True)
class Entry:
    """One session to keep.

    `notes` is the text of its `notes.json`, to the letter; `typed` holds what that file has no
    place for: the facts of ashdraft.facts.TYPED_ONLY, and `disclosure`. `day` is YYYY-MM-DD.
    `withheld`: the draft is blind and open, and keeps its name to itself.
    """

    folder: str
    notes: str
    title: str
    day: str | None = None
    typed: Mapping[str, str] = field(default_factory=dict)
    withheld: bool = False

    @property
    def document(self) -> dict[str, Any]:
        """The notes as plain dicts and lists."""
        document: dict[str, Any] = json.loads(self.notes)
        return document


def read_entry(path: Path, *, name: str | None = None, maker: str | None = None) -> Entry:
    """Read a folder that `ashdraft write` made, by the folder, its draft or its notes.

    The draft's front matter gives name, maker and the like, which notes.json does not hold;
    `name` and `maker` win over it. Raises `InputMissing`, `TranscriptDamaged`, `DataDamaged`.
    """
    from ..export.folder import read_folder
    from .front import front_of

    folder = read_folder(path)
    file = path if path.suffix == ".json" else folder.path / "notes.json"
    front = front_of(folder.draft)
    own = {"name": name, "maker": maker}
    typed = {**front.typed, **{key: value for key, value in own.items() if value}}
    days = [r.recorded_at[:10] for r in folder.notes.recordings if r.recorded_at]
    return Entry(
        folder=str(folder.path.resolve()),
        notes=file.read_bytes().decode("utf-8"),
        title=_title(typed) or front.title or folder.path.resolve().name,
        day=front.day or min(days, default=None),
        typed=typed,
        withheld=front.withheld,
    )


def identity(document: Mapping[str, Any]) -> str:
    """Return what a session is known by: the SHA-256 sums of its recordings, in no order.

    So a folder may be moved or renamed, written again or tallied, and is the same session; and
    one folder that is used for one recording after another holds a session each time. Notes
    without a recording are known by the words as heard.
    """
    sums = sorted({str(recording["sha256"]) for recording in document["recordings"]})
    if not sums:
        heard = [[u["start"], u["end"], u["heard"]] for u in document["utterances"]]
        sums = ["heard", json.dumps(heard)]
    return hashlib.sha256("\n".join(sums).encode()).hexdigest()


def _title(typed: Mapping[str, str]) -> str:
    return " ".join(typed[key] for key in ("maker", "name") if key in typed and "name" in typed)


TYPED = (*TYPED_ONLY, "disclosure")
"""The keys of `Entry.typed`, which are columns of the table `session`."""
