"""The sentences of a draft cut out of the recording, to be carried in the page."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ..export import Folder
from .media import Clip


def clips_of(folder: Folder, recordings: Sequence[Path] = ()) -> dict[int, Clip]:
    """Return a clip for each sentence that stands in the draft and lies in a recording.

    `recordings` are files that lie elsewhere than in the folder or beside it. Raises the errors
    of ashdraft.errors where a recording is not found or cannot be read.
    """
    from ..clips import MEDIA_TYPE, cut_all, quotes
    from ..export.sources import at, sources

    listed = quotes(folder)
    found = sources(folder, recordings)
    cut: dict[int, Clip] = {}
    for source in found:
        mine = [quote for quote in listed if at(found, quote.start) is source]
        offset = source.recording.offset
        spans = [(max(q.start - offset, 0.0), q.end - offset) for q in mine]
        for quote, data in zip(mine, cut_all(source.path, spans), strict=True):
            cut[quote.utterance] = Clip(data, MEDIA_TYPE)
    return cut
