"""The draft as HTML for the page: text of the draft, escaped, with times that play."""

from __future__ import annotations

from ..model import Notes
from ..page import Playable
from ..page.document import parser, read_draft
from ..page.sentences import Times, marked
from ..page.tables import laid_out


def pane(draft: str, notes: Notes, recordings: tuple[Playable, ...]) -> str:
    """Return the body of a draft, rendered by markdown-it's preset for text not to be trusted."""
    document = read_draft(draft)
    times = Times(recordings, frozenset(), {u.id: u for u in notes.reading.utterances})
    markdown = parser()
    tokens = laid_out(marked(document, times))
    return str(markdown.renderer.render(tokens, markdown.options, {}))
