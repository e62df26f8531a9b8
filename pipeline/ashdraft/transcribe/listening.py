"""Finding the speech in every clip of a session, once; afterwards it is known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from ..intake import Clip
from ..intake.decode import RATE, Damage, Stretch, decode
from ..progress import Progress
from . import voice
from .background import ahead
from .spans import Span, spans
from .store import Store, key_of

# Part of every key: raise it whenever other spans would be found in the same sound.
_VERSION = 2
# Stretches (a few seconds each) decoded ahead of the detector.
_AHEAD = 8


def listen(
    clips: Sequence[Clip], store: Store, progress: Progress, *, first: Callable[[], None]
) -> tuple[list[Span], tuple[str, ...]]:
    """Every span of speech in session order, and notices about sound that was lost.

    `first` is called before any sound is decoded, and not where everything is known.
    """
    found: list[Span] = []
    notices: list[str] = []
    keys = [
        key_of("voice", {"sound": clip.recording.sha256, "version": _VERSION}) for clip in clips
    ]
    stored = [store.get(key) for key in keys]
    if None in stored:
        first()
    progress.start(
        "Listening for speech", sum(clip.recording.duration for clip in clips), "seconds"
    )
    for index, (clip, key, known) in enumerate(zip(clips, keys, stored, strict=True)):
        if known is None:
            known = _listened(clip, progress)
            store.put(key, known)
        else:
            progress.advance(clip.recording.duration)
        found += [Span(index, start, end) for start, end in known["spans"]]
        damage = Damage(known["lost"], known["read"])
        if damage.lost:
            notices.append(damage.notice(clip.recording.file))
    progress.finish()
    return found, tuple(notices)


def _listened(clip: Clip, progress: Progress) -> dict[str, object]:
    damage = Damage()
    stretches = _counted(ahead(decode(clip.path, damage, since=clip.stamp), _AHEAD), progress)
    found = spans(voice.probabilities(stretches))
    return {
        "spans": [[span.start, span.end] for span in found],
        "lost": damage.lost,
        "read": damage.read,
    }


def _counted(stretches: Iterator[Stretch], progress: Progress) -> Iterator[Stretch]:
    end = 0
    for stretch in stretches:
        yield stretch
        progress.advance((stretch.end - end) / RATE)
        end = stretch.end
