"""`draft.html`: the draft as one file that loads nothing, with its recording and its pictures.

Everything the page shows is text of the draft, escaped by markdown-it with the preset for
untrusted input, or drawn by ashdraft.charts. The content policy (W3C Content Security Policy
Level 3, delivered by a meta element) allows the page's own script and style by their SHA-256
sums and nothing else.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from ..assemble import HOW_TO_READ
from ..assemble.times import clock
from ..charts import families_by_third, session_strip
from ..model import Notes
from .document import Document, parser, read_draft
from .media import Clip, Playable
from .sentences import Times, marked
from .tables import laid_out

if TYPE_CHECKING:
    from markdown_it.token import Token

HERE = Path(__file__).parent
PHONE = 358
"""Width in CSS pixels that a page has on a telephone of 390."""
PALATE = "Palate"
HOW_TO_READ_HERE = (
    "Upright text is the speaker's own; the time before a sentence {time}. What stands in italics, "
    "in a list, in a table or in a picture was added by Ashdraft."
)
PLAYS, TELLS = "plays it", "is when it was said"


def page_html(
    draft: str,
    notes: Notes,
    recordings: Sequence[Playable] = (),
    clips: Mapping[int, Clip] | None = None,
) -> str:
    """Return the page of a draft, which may have been edited, and the notes it was made from.

    `clips` are embedded, by the id of the sentence each holds; they are played instead of the
    recording. The same input gives the same text.
    """
    document = read_draft(draft)
    clips = clips or {}
    times = Times(recordings, frozenset(clips), {u.id: u for u in notes.reading.utterances})
    body = _body(document, notes, times)
    style, script = (_own(name) for name in ("page.css", "page.js"))
    plays = bool(recordings or clips)
    return "\n".join(
        [
            "<!doctype html>",
            '<html lang="en">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{_policy(style, script)}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="referrer" content="no-referrer">',
            f"<title>{escape(document.title)}: draft</title>",
            f"<style>{style}</style>",
            "</head>",
            "<body>",
            '<a class="skip" href="#draft">To the draft</a>',
            body,
            *([_player(), _embedded(clips)] if plays else []),
            f"<script>{script}</script>",
            "</body>",
            "</html>\n",
        ]
    )


def families(notes: Notes) -> dict[str, tuple[int, int, int]]:
    """Return how many notes of each family were named as there in each third."""
    counted = Counter(
        (d.family, d.third) for d in notes.reading.descriptors if d.polarity == "present"
    )
    named = dict.fromkeys(d.family for d in notes.reading.descriptors)
    return {f: (counted[f, 1], counted[f, 2], counted[f, 3]) for f in named}


def _body(document: Document, notes: Notes, times: Times) -> str:
    tokens = laid_out(marked(document, times))
    parts = list(_parts(tokens))
    named = [p for p in parts if p[0].type == "heading_open"]
    headings = [p[1].content for p in named]
    chart = _chart(notes)
    plays = PLAYS if times.recordings or times.clips else TELLS
    preface = [_preface(p, plays) for p in parts if p[0].type != "heading_open"]
    sections = []
    for n, (part, heading) in enumerate(zip(named, headings, strict=True), start=1):
        part[0].attrSet("id", f"s{n}")
        inner = f"{_rendered(part[:3])}{chart if heading == PALATE else ''}{_rendered(part[3:])}"
        sections.append(f'<section aria-labelledby="s{n}">\n{inner}</section>')
    links = "".join(
        f'<li><a href="#s{n}">{_rendered([part[1]])}</a></li>'
        for n, part in enumerate(named, start=1)
    )
    return "\n".join(
        [
            "<header>",
            f"<h1>{escape(document.title)}</h1>",
            f'<p class="under">{escape(_under(document, notes))}</p>',
            *preface,
            f'<nav aria-label="Sections"><ul>{links}</ul></nav>' if links else "",
            "</header>",
            '<main id="draft" tabindex="-1">',
            _strip(notes),
            "" if PALATE in headings else chart,
            *sections,
            "</main>",
        ]
    )


def _parts(tokens: Sequence[Token]) -> Iterator[list[Token]]:
    """Yield the tokens before the first second-level heading, then each section with it."""
    part: list[Token] = []
    for token in tokens:
        if token.type == "heading_open" and token.tag == "h2" and token.level == 0 and part:
            yield part
            part = []
        part.append(token)
    if part:
        yield part


def _preface(tokens: Sequence[Token], time: str) -> str:
    """Return what stands before the first heading; how to read the file becomes the page's."""
    here = escape(HOW_TO_READ_HERE.format(time=time))
    return _rendered(tokens).replace(escape(HOW_TO_READ, quote=False), here)


def _rendered(tokens: Sequence[Token]) -> str:
    markdown = parser()
    return str(markdown.renderer.render(tokens, markdown.options, {}))


def _strip(notes: Notes) -> str:
    pictures = {
        name: session_strip(notes.reading, notes.recordings, name=f"session-{name}", width=width)
        for name, width in {"wide": 1024, "narrow": PHONE}.items()
    }
    return _figure(
        pictures,
        "The recording from end to end. A block is a sentence, on the line of what it is about; "
        "a dot is a tasting note. Silence is left blank.",
    )


def _chart(notes: Notes) -> str:
    pictures = {
        name: families_by_third(families(notes), name=f"families-{name}", width=width)
        for name, width in {"wide": 600, "narrow": PHONE}.items()
    }
    return _figure(pictures, "Notes named as there, by family and third. A block is one note.")


def _figure(pictures: Mapping[str, str], caption: str) -> str:
    """Return a picture drawn for a wide page and again for a narrow one."""
    drawn = "\n".join(f'<div class="{name}">{svg}</div>' for name, svg in pictures.items())
    return f"<figure>\n{drawn}\n<figcaption>{caption}</figcaption>\n</figure>\n"


def _under(document: Document, notes: Notes) -> str:
    """Return the line below the title: length, recordings as the draft names them, the day."""
    named = document.front.get("recordings")
    names = ", ".join(str(name) for name in named) if isinstance(named, list) else ""
    length = max((r.offset + r.duration for r in notes.recordings), default=0.0)
    day = next((r.recorded_at[:10] for r in notes.recordings if r.recorded_at), "")
    parts = [f"{clock(round(length))} of recording" if length else "", names, day]
    return ", ".join(part for part in parts if part)


def _player() -> str:
    return (
        '<div class="player" role="region" aria-label="Recording" hidden><div>'
        '<p role="status"></p><audio controls preload="none"></audio></div></div>'
    )


def _embedded(clips: Mapping[int, Clip]) -> str:
    """Return the clips as a block of data, which no browser runs. Base64 needs no escaping."""
    if not clips:
        return ""
    addresses = {
        str(utterance): f"data:{clip.media_type};base64,{base64.b64encode(clip.data).decode()}"
        for utterance, clip in sorted(clips.items())
    }
    data = json.dumps(addresses).replace("<", "\\u003c")
    return f'<script type="application/json" id="clips">{data}</script>'


def _policy(style: str, script: str) -> str:
    """Return the content policy. `file:` is the page's own folder where no server is."""
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {_sum(script)}",
            f"style-src {_sum(style)}",
            "img-src 'self' data:",
            "media-src 'self' data:",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _sum(text: str) -> str:
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return f"'sha256-{digest}'"


def _own(name: str) -> str:
    return (HERE / name).read_text(encoding="utf-8")
