"""From what the user typed to a list of files: folders opened, doubles dropped, kinds apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import InputMissing, UsageError
from . import media, transcripts
from .names import natural, shown


@dataclass(frozen=True, slots=True)
class Found:
    """Files of one kind in file-name order. `optional` ones came from a folder."""

    files: tuple[Path, ...]
    are_transcripts: bool
    optional: bool
    notices: tuple[str, ...] = ()


def find(inputs: Sequence[Path]) -> Found:
    """The files to read.

    In a folder, recordings win over transcripts beside them, and an earlier run's notes.json
    over the captions made from it. Raises InputMissing, or UsageError for a mixture.
    """
    files: list[Path] = []
    notices: list[str] = []
    for given in inputs:
        try:
            is_folder, is_file = given.is_dir(), given.is_file()
        except OSError as error:
            raise InputMissing(
                f"{shown(given)} cannot be read ({error.strerror}).",
                "Check the path and its rights.",
            ) from error
        if is_folder:
            inside, said = _inside(given)
            files += inside
            notices += said
        elif is_file:
            files.append(given)
        else:
            raise InputMissing(
                f"There is no file or folder {shown(given)}.", "Check the path and type it again."
            )
    unique = {path.resolve(): path for path in reversed(files)}
    if len(unique) < len(files):
        notices.append("A file that was named twice is used once.")
    files = sorted(unique.values(), key=natural)
    written = [path for path in files if path.suffix.lower() in transcripts.SUFFIXES]
    if written and len(written) < len(files):
        raise UsageError(
            f"{shown(written[0])} is a transcript, among recordings.",
            "Give either recordings or transcripts.",
        )
    optional = all(given.is_dir() for given in inputs)
    return Found(tuple(files), bool(written), optional, tuple(notices))


def _inside(folder: Path) -> tuple[list[Path], list[str]]:
    try:
        everything = [
            path for path in folder.iterdir() if path.is_file() and not path.name.startswith(".")
        ]
    except OSError as error:
        raise InputMissing(
            f"The folder {shown(folder)} cannot be read ({error.strerror}).", "Check its rights."
        ) from error
    recordings = [path for path in everything if path.suffix.lower() in media.SUFFIXES]
    written = [path for path in everything if path.suffix.lower() in transcripts.SUFFIXES]
    if recordings:
        notices = []
        if written:
            notices.append(
                f"The recordings in {shown(folder)} are used; the transcripts beside them are not."
            )
        return recordings, notices
    if not written:
        raise InputMissing(
            f"The folder {shown(folder)} holds no recording and no transcript.",
            "Name the recordings themselves.",
        )
    own = [path for path in written if path.name == "notes.json"]
    if own and len(written) > 1:
        return own, [f"The notes.json in {shown(folder)} is used; the captions beside it are not."]
    return written, []
