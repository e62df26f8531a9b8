"""Opening a session: every input probed, summed and placed, before any of it is decoded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from ..errors import AshdraftError, NoSound, NotMedia
from ..model import Heard, Recording, Transcript
from . import media
from .digest import sha256_of
from .inputs import Found, find
from .names import shown
from .stamp import Stamp, stamp_of, unchanged
from .timeline import Part, Placing, moved, place
from .transcripts import Read, read_transcript


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording and the file it is in, as it was when its sum was taken."""

    path: Path
    recording: Recording
    stamp: Stamp | None = None


@dataclass(frozen=True, slots=True)
class Session:
    """The inputs on one timeline (seconds from the first one's start), in time order.

    Either `clips` of sound, or a ready `transcript`. `notices` tell what the user should know.
    """

    kind: Literal["sound", "transcript"]
    clips: tuple[Clip, ...] = ()
    transcript: Transcript | None = None
    notices: tuple[str, ...] = ()

    @property
    def recordings(self) -> tuple[Recording, ...]:
        if self.transcript is not None:
            return self.transcript.recordings
        return tuple(clip.recording for clip in self.clips)


def open_session(inputs: Sequence[Path]) -> Session:
    """Open recordings, a folder of them, or finished transcripts as one session.

    Raises InputMissing, NotMedia, NoSound, NoSpeech (a transcript without words),
    TranscriptDamaged, or UsageError (recordings mixed with transcripts). In a folder a file
    that cannot be used is left out with a notice, unless none can.
    """
    found = find(inputs)
    return _written(found) if found.are_transcripts else _sound(found)


def _sound(found: Found) -> Session:
    notices = list(found.notices)
    probed: list[tuple[Path, media.Probe, str, Stamp]] = []
    refused: list[AshdraftError] = []
    sums: dict[str, Path] = {}
    for path in found.files:
        stamp = stamp_of(path)
        try:
            probe = media.probe(path)
        except (NotMedia, NoSound) as error:
            if not found.optional:
                raise
            refused.append(error)
            continue
        digest = sha256_of(path)
        unchanged(path, stamp)
        if digest in sums:
            notices.append(f"{shown(path)} is the same recording as {shown(sums[digest])}.")
            continue
        sums[digest] = path
        probed.append((path, probe, digest, stamp))
        notices += probe.notices
    if not probed:
        raise refused[0]
    notices += [f"{error.message} It was left out." for error in refused]
    placing = place([Part(shown(path), p.duration, p.recorded_at) for path, p, *_ in probed])
    clips = []
    for index, offset in zip(placing.order, placing.offsets, strict=True):
        path, probe, digest, stamp = probed[index]
        moment = probe.recorded_at.isoformat() if probe.recorded_at else None
        recording = Recording(shown(path), digest, offset, probe.duration, moment)
        clips.append(Clip(path, recording, stamp))
    return Session("sound", tuple(clips), notices=(*notices, *placing.notices))


def _written(found: Found) -> Session:
    reads = [read_transcript(path) for path in found.files]
    placing = place(
        [
            Part(shown(path), read.duration, read.recorded_at)
            for path, read in zip(found.files, reads, strict=True)
        ]
    )
    notices = (*found.notices, *(n for read in reads for n in read.notices), *placing.notices)
    transcript = _joined(reads, placing, notices)
    return Session("transcript", transcript=transcript, notices=notices)


def _joined(reads: Sequence[Read], placing: Placing, notices: tuple[str, ...]) -> Transcript:
    recordings: list[Recording] = []
    utterances: list[Heard] = []
    for index, offset in zip(placing.order, placing.offsets, strict=True):
        recordings += [replace(r, offset=r.offset + offset) for r in reads[index].recordings]
        utterances += [moved(one, offset) for one in reads[index].utterances]
    models = {read.speech_model for read in reads}
    languages = {read.language for read in reads}
    return Transcript(
        tuple(recordings),
        tuple(sorted(utterances, key=lambda one: (one.start, one.end))),
        speech_model=models.pop() if len(models) == 1 else None,
        language=languages.pop() if len(languages) == 1 else None,
        notices=notices,
    )
