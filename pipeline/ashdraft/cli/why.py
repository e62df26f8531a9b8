"""`ashdraft why`: what decided the place of one sentence in the draft."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from ..errors import InputMissing, UsageError
from ..model import Said, Utterance
from . import settings
from .failures import reported


@reported
def why(
    notes: Annotated[
        Path, typer.Argument(metavar="NOTES", help="A notes.json, or the folder it is in.")
    ],
    at: Annotated[str, typer.Argument(metavar="TIME", help="When it was said: 12:34 or 754.2.")],
    debug: settings.Debug = False,  # noqa: ARG001 (`reported` reads it)
) -> None:
    """Show why a sentence stands where it stands.

    Prints the sentence said at TIME, its section and third, how sure that is, and the words and
    cues that weighed most, with their weights.

    \b
    Examples:
      ashdraft why stick2-draft 12:34
    """
    from ..export import read_notes

    path = notes / "notes.json" if notes.is_dir() else notes
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise InputMissing(
            f"{path} cannot be read.", "Name the folder that ashdraft write has made."
        ) from error
    seconds = _seconds(at)
    utterances = read_notes(text).reading.utterances
    if not utterances:
        raise UsageError(f"{path} holds no sentence.", "Name the notes of another recording.")
    _print(utterances, min(utterances, key=lambda u: _distance(u.start, u.end, seconds)).id)


def _seconds(text: str) -> float:
    from ..export.clock import read_time

    try:
        return read_time(text) / 1000
    except ValueError:
        raise UsageError(
            f"{text!r} is no time.", "Type minutes and seconds, such as 12:34."
        ) from None


def _distance(start: float, end: float, at: float) -> float:
    return max(start - at, at - end, 0.0)


def _print(utterances: tuple[Utterance, ...], chosen: int) -> None:
    from ..export.clock import chapter_time
    from ..rules.nlp import analyse
    from ..rules.place import explain, place, recorded_as

    said = tuple(Said(u.id, u.start, u.end, u.heard, u.said, u.text) for u in utterances)
    index = next(i for i, u in enumerate(said) if u.id == chosen)
    lines = analyse(said)
    recorded = recorded_as(lines)
    here = place(lines, recorded)[index]
    print(f"{chapter_time(int(said[index].start))}  {said[index].said}")
    third = f", third {here.third} ({here.basis})" if here.third else ""
    print(f"section     {here.section}{third}, {here.confidence:.0%} sure")
    for reason in explain(lines, recorded, index):
        print(f"because     {reason}")
