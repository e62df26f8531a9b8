"""Every failure a user can meet. Each class owns its exit code; docs/errors.md lists them.

A message says what is wrong, names the file, and ends with what to do next. It never holds
spoken words.
"""

from __future__ import annotations


class AshdraftError(Exception):
    """Base class; `exit_code` 1 is kept for faults of the program itself."""

    exit_code = 1

    def __init__(self, message: str, next_step: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.next_step = next_step

    def __str__(self) -> str:
        return f"{self.message}\n  {self.next_step}" if self.next_step else self.message


class UsageError(AshdraftError):
    """An option or argument has a value that cannot work."""

    exit_code = 2


class InputMissing(AshdraftError):
    """An input file or folder does not exist or cannot be read."""

    exit_code = 3


class NotMedia(AshdraftError):
    """A file is empty, damaged or not a recording at all."""

    exit_code = 4


class NoSound(AshdraftError):
    """A video without an audio track."""

    exit_code = 5


class NoSpeech(AshdraftError):
    """Nothing that sounds like speech was found; no words are made up."""

    exit_code = 6


class ModelMissing(AshdraftError):
    """No speech model is installed, or the folder given holds none."""

    exit_code = 7


class ModelDamaged(AshdraftError):
    """A speech model's files do not match their published sums."""

    exit_code = 8


class OutputRefused(AshdraftError):
    """The output folder or the archive cannot be written, is full, or is in use by another run."""

    exit_code = 9


class TranscriptDamaged(AshdraftError):
    """A subtitle, transcript or notes file cannot be understood."""

    exit_code = 10


class DataDamaged(AshdraftError):
    """A lexicon, cue, sheet, facts or chapters file, or a draft's score table, has a mistake.

    The message names the line or entry.
    """

    exit_code = 11


class ArchiveUnusable(AshdraftError):
    """An archive file is damaged, is none, or is of a newer version of the program."""

    exit_code = 12


class SomeNotWritten(AshdraftError):
    """Of several sessions some were not written; the table says which and why."""

    exit_code = 13


class MicrophoneMissing(AshdraftError):
    """There is no microphone, or nothing that could open one."""

    exit_code = 14


class AddressRefused(AshdraftError):
    """The pages cannot be served at the address that was asked for."""

    exit_code = 15
