"""One run from recording to folder. This file only puts the stages in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from . import __version__, captions, chapters
from .errors import NoSpeech
from .export import notes_json, said_json
from .export.words import FILE as SAID
from .facts import disagreements
from .model import Check, MadeBy, Notes, Reading, Said, Transcript
from .options import Options
from .output import OutputFolder, Written, default_folder, open_folder
from .progress import Progress, Silent
from .table.log import FILE as TAPS


@dataclass(frozen=True, slots=True)
class Result:
    """What a run left behind: the folder, its files, and the notes they were made from.

    In a `blind` draft name, maker and price are withheld until its tally is closed.
    """

    folder: Path
    files: tuple[Written, ...]
    notes: Notes
    blind: bool = False

    @property
    def draft(self) -> Path:
        """The draft to open next: `draft.md`, or `draft.new.md` beside an edited one."""
        return self.files[0].path


def write(options: Options, progress: Progress | None = None) -> Result:
    """Turn recordings, or a finished transcript, into a folder with draft, notes and captions.

    Raises the errors of ashdraft.errors; finished work is kept in the folder's `.ashdraft`, so
    that the same call goes on where it was. The same inputs and options give the same bytes.
    """
    from .assemble import draft
    from .intake import open_session
    from .page import page_html, playable
    from .sheet import copy_of, fill, load_sheet
    from .table import put_together, taps_of, with_taps
    from .transcribe import transcribe

    progress = progress or Silent()
    definition = load_sheet(options.sheet)
    put_together(options.inputs)
    session = open_session(options.inputs)
    out = options.out or default_folder(options.inputs)
    with open_folder(out, force=options.force) as folder:
        try:
            transcript = session.transcript or transcribe(session, options, folder.work, progress)
        except NoSpeech:
            folder.forget()
            raise
        notes, said = understand(transcript, options)
        taps = taps_of(options.inputs)
        if taps is not None:
            notes = with_taps(notes, taps)
            folder.keep(TAPS, taps.text)
        cues = captions.cues(said)
        kept = not options.force and folder.edited(chapters.FILE)
        listed, problem = chapters.first_files(notes, said, kept=kept)
        folder.keep(SAID, said_json(said))
        folder.keep(*copy_of(definition))
        text = draft(notes, fill(definition, notes.reading), caution=options.caution)
        if options.blind:
            text = _blind(text, notes, folder)
        played = playable(notes.recordings, out, options.inputs)
        files = folder.write(
            {
                "draft.md": text,
                "draft.html": page_html(text, notes, played),
                "notes.json": notes_json(notes),
                "captions.vtt": captions.vtt(cues),
                "captions.srt": captions.srt(cues),
                **listed,
            }
        )
    for message in (*transcript.notices, problem, *_kept(files)):
        if message:
            progress.note(message)
    return Result(out, files, notes, options.blind)


def _blind(text: str, notes: Notes, folder: OutputFolder) -> str:
    """Keep what the draft withholds in `.ashdraft`, and return the rest."""
    from .tally import seal

    sealed = seal(text, notes)
    folder.keep(*sealed.kept)
    return sealed.text


def understand(transcript: Transcript, options: Options) -> tuple[Notes, tuple[Said, ...]]:
    """Repair and read a transcript; typed facts stand beside the spoken ones."""
    from . import rules
    from .repair import doubtful, repair

    typed = options.facts
    names = [str(typed[key]) for key in ("name", "maker") if key in typed]
    said, repairs = repair(transcript.utterances, names)
    reading: Reading = rules.read(said)
    checks = (
        *(Check("input", notice) for notice in transcript.notices),
        *disagreements(reading, typed),
        *doubtful(transcript.utterances, repairs),
        *reading.checks,
    )
    made_by = MadeBy(__version__, transcript.speech_model, *rules.versions())
    return Notes(made_by, transcript.recordings, reading, repairs, checks, typed), said


def _kept(files: Sequence[Written]) -> list[str]:
    return [
        f"{w.beside.name} was edited and is left as it is; the new one is {w.path.name} "
        "(--force replaces edited files)"
        for w in files
        if w.beside
    ]
