"""Which sessions there are among what the user named, and where each is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import InputMissing, UsageError
from ..intake import media
from ..intake.names import natural, shown
from ..output import WORK, draft_name

_CAPTIONS = frozenset((".vtt", ".srt"))


@dataclass(frozen=True, slots=True)
class Planned:
    """One session: a recording, a transcript, or a folder of clips; and its draft's folder."""

    source: Path
    out: Path


def plan(inputs: Sequence[Path], out: Path | None) -> tuple[Planned, ...]:
    """Every session in `inputs`, in the order of their names.

    In a folder each recording is a session, each folder of recordings within it is one of
    several clips, and captions count where no recording has their name. Folders that hold a
    draft are left alone. The drafts' folders lie in `out`, or beside each recording; recordings
    that differ in nothing but their suffix keep it in the folder's name. Raises InputMissing
    (nothing there), or UsageError where two would be written into one folder.
    """
    sources: dict[Path, Path] = {}
    for given in inputs:
        for source in _inside(given) if given.is_dir() else [given]:
            sources.setdefault(source.resolve(), source)
    if not sources:
        raise InputMissing(
            f"{shown(inputs[0])} holds no recording.", "Name the folder that holds them."
        )
    places = {source: out or source.resolve().parent for source in sources.values()}
    short = Counter(_same(places[s] / draft_name(_stem(s))) for s in places)
    planned = []
    for source, place in places.items():
        folder = place / draft_name(_stem(source))
        if short[_same(folder)] > 1:
            folder = place / draft_name(source.name)
        planned.append(Planned(source, folder))
    twice = Counter(_same(one.out) for one in planned)
    for one in planned:
        if twice[_same(one.out)] > 1:
            raise UsageError(
                f"Two recordings would be written into {shown(one.out)}.",
                "Leave --out away, or rename one of them.",
            )
    return tuple(planned)


def files_of(source: Path) -> list[Path]:
    """The files that the session is made from, in the order of their names."""
    if not source.is_dir():
        return [source]
    return sorted((p for p in source.iterdir() if _is_recording(p)), key=natural)


def _inside(folder: Path) -> list[Path]:
    try:
        entries = [path for path in folder.iterdir() if not path.name.startswith(".")]
    except OSError as error:
        raise InputMissing(
            f"The folder {shown(folder)} cannot be read ({error.strerror}).", "Check its rights."
        ) from error
    recordings = [path for path in entries if _is_recording(path)]
    named = {path.stem for path in recordings}
    captions = [
        path
        for path in entries
        if path.suffix.lower() in _CAPTIONS and path.is_file() and path.stem not in named
    ]
    folders = [path for path in entries if path.is_dir() and _is_session(path)]
    return sorted([*recordings, *captions, *folders], key=natural)


def _is_session(folder: Path) -> bool:
    try:
        return not (folder / WORK).exists() and any(map(_is_recording, folder.iterdir()))
    except OSError:
        return True  # it is reported when its turn comes


def _is_recording(path: Path) -> bool:
    return (
        path.suffix.lower() in media.SUFFIXES and not path.name.startswith(".") and path.is_file()
    )


def _stem(source: Path) -> str:
    return source.name if source.is_dir() else source.stem


def _same(folder: Path) -> str:
    """Equal for folders that some file system takes for one."""
    return str(folder).casefold()
