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
    from ..clips import MEDIA_TYPE, cut_quotes, quotes
    from ..export.sources import sources

    cut = cut_quotes(quotes(folder), sources(folder, recordings))
    return {quote.utterance: Clip(data, MEDIA_TYPE) for quote, data in cut}
