"""The output folder: one run at a time, atomic writes, and never over a file the user edited.

`OUT/.ashdraft` (readable by its owner only) holds the lock, the recognised blocks, the
word times (`said.json`) and `written.json`: the SHA-256 of every file as it was last written
here. A file on disk whose sum is not among them was edited; the new text then goes beside it,
as `draft.new.md`.
"""

from __future__ import annotations

import errno
import hashlib
import json
import os
import re
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import chain, count
from pathlib import Path

from .errors import OutputRefused, UsageError

WORK = ".ashdraft"
SUMS = "written.json"
TEMPORARY = ".ashdraft-tmp"
ELSEWHERE = "Choose another folder with --out FOLDER"
_LOCK = "lock"
_LONGEST_NAME = 255  # bytes: NAME_MAX of the usual file systems (POSIX limits.h)


@dataclass(frozen=True, slots=True)
class Written:
    """Where a file went; `beside` is the edited file that was left alone for it."""

    path: Path
    beside: Path | None = None


def default_folder(inputs: Sequence[Path]) -> Path:
    """Return the folder beside the first recording and named after it: `stick2-draft`."""
    first = inputs[0].resolve()
    if not first.name:
        raise UsageError(
            "A draft cannot be put beside the whole disk.", "Name its folder with --out FOLDER."
        )
    return first.parent / draft_name(first.name if first.is_dir() else first.stem)


def draft_name(name: str) -> str:
    """Return `stick2-draft` for `stick2`, cut so that a file system takes it."""
    end = "-draft"
    while len(os.fsencode(name)) > _LONGEST_NAME - len(end):
        name = name[:-1]
    return name + end


@contextmanager
def open_folder(path: Path, *, force: bool = False) -> Iterator[OutputFolder]:
    """Make `path` ready for one run and hold it until the block ends.

    Raises `OutputRefused` where it is a file, cannot be written or is in use. The lock is the
    operating system's, so that of a run that died is free at once. With `force`, files that
    the user edited are replaced too. A folder that is made here and into which nothing was
    written when the block ends is taken away again.
    """
    from filelock import FileLock, Timeout

    folder = OutputFolder(path, path / WORK, force)
    lock = FileLock(folder.work / _LOCK, timeout=0, mode=0o600)
    ours = folder.work.exists() or not path.exists()
    with _refusals(path):
        folder.work.mkdir(parents=True, exist_ok=True)
        folder.work.chmod(0o700)
        try:
            lock.acquire()
        except Timeout:
            raise OutputRefused(
                f"Another run is writing into {path}.", f"Wait until it has ended. {ELSEWHERE}"
            ) from None
    try:
        with _refusals(path):
            folder.clear_up()
        yield folder
    finally:
        if os.name == "nt":  # a file that is open cannot be removed there
            lock.release()
        folder.leave(ours=ours)
        lock.release()


def atomic_write(path: Path, data: bytes) -> None:
    """Write `data` so that `path` holds either all of it or what it held before.

    For one writer at a time. Raises `OSError`; no temporary file is left then.
    """
    temporary = path.with_name(f".{path.name}{TEMPORARY}")
    try:
        with temporary.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.is_file():
            shutil.copymode(path, temporary)
        temporary.replace(path)
    except BaseException:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
        raise


@dataclass(frozen=True, slots=True)
class OutputFolder:
    """A folder that this run alone writes into; `work` is for blocks and the like."""

    path: Path
    work: Path
    force: bool

    def write(self, texts: Mapping[str, str | bytes]) -> tuple[Written, ...]:
        """Write files by name, in order, text as UTF-8.

        Raises `OutputRefused` where one cannot be written. The new sums are stored beside the old
        ones before any file is touched, so that after a run that was cut short no file looks
        edited.
        """
        with _refusals(self.path):
            known = self._known()
            files = {}
            for name, text in texts.items():
                data = text if isinstance(text, bytes) else text.encode("utf-8", "replace")
                files[self._target(name, data, known)] = (name, data)
            new = {target.name: [_sum(data)] for target, (_, data) in files.items()}
            self._store({k: known.get(k, []) + new.get(k, []) for k in known | new})
            for target, (_, data) in files.items():
                if not _holds(target, data):
                    atomic_write(target, data)
            self._store(known | new)
        return tuple(
            Written(target, None if target.name == name else self.path / name)
            for target, (name, _) in files.items()
        )

    def edited(self, name: str) -> bool:
        """Whether the file is there and was not written here. Raises `OutputRefused`."""
        with _refusals(self.path):
            return not _free(self.path / name, _sums_of(name, self._known()))

    def keep(self, name: str, text: str) -> None:
        """Write a file into `.ashdraft`, where nobody edits. Raises `OutputRefused`."""
        data = text.encode("utf-8", "replace")
        with _refusals(self.path):
            if not _holds(self.work / name, data):
                atomic_write(self.work / name, data)

    def forget(self) -> None:
        """Drop what is kept of unfinished work, unless there are finished files as well."""
        if not self._known():
            for entry in self.work.iterdir():
                if entry.is_dir():
                    shutil.rmtree(entry, ignore_errors=True)

    def leave(self, *, ours: bool) -> None:
        """Take the folder away where nothing was written into it; with `ours` also its own place.

        What cannot be taken away stays: there is something in it.
        """
        with suppress(OSError):
            if self._known():
                return
            for entry in self.work.iterdir():
                if entry.is_dir():
                    entry.rmdir()
            if {entry.name for entry in self.work.iterdir()} <= {_LOCK, SUMS}:
                (self.work / SUMS).unlink(missing_ok=True)
                (self.work / _LOCK).unlink(missing_ok=True)
                self.work.rmdir()
                if ours:
                    self.path.rmdir()

    def clear_up(self) -> None:
        """Remove what a killed run left half written, and see that the folder takes a file."""
        for left in chain(self.path.glob(f".*{TEMPORARY}"), self.work.rglob(f".*{TEMPORARY}")):
            left.unlink()
        self._store(self._known())

    def _target(self, name: str, data: bytes, known: Mapping[str, Sequence[str]]) -> Path:
        """Return the first of `draft.md`, `draft.new.md`, `draft.new2.md`... that is ours."""
        ours = {*_sums_of(name, known), _sum(data)}
        path = self.path / name
        if self.force:
            return path
        beside = (
            path.with_name(f"{path.stem}.new{number if number > 1 else ''}{path.suffix}")
            for number in count(1)
        )
        return next(p for p in chain([path], beside) if _free(p, ours))

    def _known(self) -> dict[str, list[str]]:
        try:
            files = json.loads((self.work / SUMS).read_text("utf-8"))["files"]
            return {str(name): [str(total) for total in totals] for name, totals in files.items()}
        except (FileNotFoundError, ValueError, KeyError, TypeError, AttributeError):
            return {}

    def _store(self, known: Mapping[str, Sequence[str]]) -> None:
        text = json.dumps({"files": known}, indent=2, sort_keys=True, ensure_ascii=False)
        atomic_write(self.work / SUMS, f"{text}\n".encode())


@contextmanager
def _refusals(path: Path) -> Iterator[None]:
    try:
        yield
    except (FileExistsError, NotADirectoryError):
        raise OutputRefused(f"{path} is a file and no folder.", ELSEWHERE) from None
    except OSError as fault:
        if fault.errno in (errno.ENOSPC, errno.EDQUOT):
            raise OutputRefused(
                f"No room is left on the disk for {path}.",
                "Free some space and type the same command again; finished work is kept.",
            ) from fault
        raise OutputRefused(f"{path} cannot be written: {fault.strerror}.", ELSEWHERE) from fault


def _sums_of(name: str, known: Mapping[str, Sequence[str]]) -> set[str]:
    """Return the sums of a file and of those written beside it, which may have taken its name."""
    stem, dot, suffix = name.rpartition(".")
    beside = re.compile(rf"{re.escape(stem)}(\.new\d*)?{re.escape(dot + suffix)}")
    return {total for at, totals in known.items() if beside.fullmatch(at) for total in totals}


def _free(path: Path, ours: Iterable[str]) -> bool:
    return not path.exists() or (path.is_file() and _sum(path.read_bytes()) in ours)


def _holds(path: Path, data: bytes) -> bool:
    return path.is_file() and path.read_bytes() == data


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
