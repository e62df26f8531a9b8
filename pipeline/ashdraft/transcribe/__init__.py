"""Transcription: the speech of a session, found, recognised and put into utterances.

This file only orders the steps: find the model, find the speech, pack it into windows and
blocks, recognise the blocks that the store does not have, group the words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TypeVar

from ..errors import NoSpeech
from ..export.clock import chapter_time
from ..intake import Session
from ..intake.decode import RATE
from ..intake.timeline import moved
from ..model import Heard, Transcript, Word
from ..options import Options
from ..progress import Progress
from .background import in_parallel
from .blocks import Block, as_content, from_content, into_blocks, joined, placed, recognise, sounds
from .device import Loader
from .language import ASKED, language_of, warning
from .listening import listen
from .recogniser import SETTINGS, Window
from .spans import PAD, Span, windows
from .store import Store, key_of
from .utterances import utterances
from .weights import find_model

__all__ = ["transcribe"]

T = TypeVar("T")
_NAMED_PLACES = 5
_LEAST_SPEECH = 0.5  # seconds; in less, a speech model hears whatever is common


def transcribe(session: Session, options: Options, work: Path, progress: Progress) -> Transcript:
    """The words of `session` with their times and probabilities, as utterances in time order.

    Finished parts are kept in `work`; the same call goes on where an earlier one was stopped
    and gives the same result. Raises NoSpeech, ModelMissing, ModelDamaged, OutputRefused, and
    InputMissing when a recording changes meanwhile.
    """
    if session.transcript is not None:
        return session.transcript
    loader = Loader(find_model(options), options)
    store = Store(work)
    found, lost = listen(session.clips, store, progress, first=loader.check)
    if not found:
        raise _no_speech(session, "No speech was found in")
    if sum(len(span) - 2 * PAD for span in found) < _LEAST_SPEECH * RATE:
        raise _no_speech(session, "Less than half a second of speech was found in")
    packed = windows(found)
    language = _language(session, packed, loader, store)
    heard = _recognised(session, into_blocks(packed), language, loader, store, progress)
    said = _said(session, packed, heard)
    if not said:
        raise _no_speech(session, "No words could be made out in")
    notices = (
        *session.notices, *lost, *loader.notices, warning(language),
        *_not_made_out(session, packed, heard),
    )  # fmt: skip
    return Transcript(
        session.recordings,
        said,
        speech_model=loader.model.name,
        language=language,
        notices=tuple(notice for notice in notices if notice),
    )


def _language(
    session: Session, packed: Sequence[tuple[Span, ...]], loader: Loader, store: Store
) -> str:
    first = Block(tuple(packed[:ASKED]))
    key = key_of("language", {"from": first.made_from(session.clips), **loader.identity})
    known = store.get(key)
    if known is None:
        recogniser = loader.recogniser()
        asked = next(sounds(session.clips, [first])) if recogniser.many_languages else []
        known = language_of([recogniser.languages(joined(window)) for window in asked])
        store.put(key, known)
    return str(known)


def _recognised(
    session: Session,
    planned: Sequence[Block],
    language: str,
    loader: Loader,
    store: Store,
    progress: Progress,
) -> list[Window]:
    """Every window of `planned`, from the store or recognised now, in order."""
    keys = [
        key_of(
            "block",
            {
                "from": block.made_from(session.clips),
                "language": language,
                "settings": SETTINGS,
                **loader.identity,
            },
        )
        for block in planned
    ]
    progress.start(
        "Recognising speech", sum(block.seconds for block in planned), "seconds of speech"
    )
    contents = [store.get(key) for key in keys]
    missing = []
    for index, block in enumerate(planned):
        if contents[index] is None:
            missing.append(index)
        else:
            progress.advance(block.seconds)
    if missing:
        recogniser = loader.recogniser()
        found = zip(planned, sounds(session.clips, planned), strict=True)
        done = in_parallel(
            lambda item: as_content(recognise(recogniser, *item, language)),
            _only(missing, found),
            recogniser.workers,
        )
        for position, content in done:
            index = missing[position]
            store.put(keys[index], content)
            contents[index] = content
            progress.advance(planned[index].seconds)
    progress.finish()
    return [window for content in contents for window in from_content(content)]


def _only(wanted: Sequence[int], items: Iterable[T]) -> Iterator[T]:
    chosen = frozenset(wanted)
    return (item for index, item in enumerate(items) if index in chosen)


def _said(
    session: Session, packed: Sequence[tuple[Span, ...]], heard: Sequence[Window]
) -> tuple[Heard, ...]:
    """Utterances of all clips on the joined timeline, in time order.

    What holds no letter or digit ("...", a lone note sign) is not speech and is left out.
    """
    words: dict[int, list[Word]] = {}
    for window, found in zip(heard, packed, strict=True):
        for clip, word in placed(window, found):
            words.setdefault(clip, []).append(word)
    said = [
        moved(one, session.clips[clip].recording.offset)
        for clip, mine in words.items()
        for one in utterances(mine)
        if any(letter.isalnum() for letter in one.text)
    ]
    return tuple(sorted(said, key=lambda one: (one.start, one.end)))


def _not_made_out(
    session: Session, packed: Sequence[tuple[Span, ...]], heard: Sequence[Window]
) -> tuple[str, ...]:
    """A notice that names the places where a voice was heard but no words could be made out."""
    places = [
        chapter_time(int(session.clips[span.clip].recording.offset + span.start / RATE))
        for window, found in zip(heard, packed, strict=True)
        if window.dropped
        for span in found
    ]
    if not places:
        return ()
    more = f" and {len(places) - _NAMED_PLACES} more" if len(places) > _NAMED_PLACES else ""
    return (
        f"Something was said that could not be made out at {', '.join(places[:_NAMED_PLACES])}"
        f"{more}; it is left out.",
    )


def _no_speech(session: Session, what: str) -> NoSpeech:
    names = [clip.recording.file for clip in session.clips]
    more = f" and {len(names) - 1} more" if len(names) > 1 else ""
    return NoSpeech(
        f"{what} {names[0]}{more}.", "Check that it is the right recording and play it once."
    )
