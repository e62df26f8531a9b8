"""`.ashdraft/said.json`: the utterances with their word times, kept beside the notes.

`notes.json` holds no word times, as few programs want them. Captions, chapters, clips and the
way onto a finished cut do, and with this file they can be made again without recognition.
The reader is tolerant: what is missing, damaged or of other notes gives no words, never an
error, and the times of the whole utterance are used instead.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from ..model import Said, Utterance, Word
from ..output import WORK

FILE = "said.json"
FORMAT = "ashdraft-said"
VERSION = 1


def said_json(utterances: Iterable[Said]) -> str:
    """Return the file's text, one line an utterance; a word is `[text, start, end, probability]`.

    Seconds on the joined timeline, rounded to a millisecond.
    """
    rows = ",\n".join(json.dumps(_row(u), ensure_ascii=False) for u in utterances)
    head = f'{{"format": "{FORMAT}", "version": {VERSION}, "utterances": ['
    return f"{head}\n{rows}\n]}}\n" if rows else f"{head}]}}\n"


def read_words(folder: Path) -> dict[int, Said]:
    """Return what `folder/.ashdraft/said.json` holds, by utterance id; empty where unreadable.

    Keys that are not known are passed over, as are rows and words that make no sense.
    """
    try:
        return words_in(json.loads((folder / WORK / FILE).read_text("utf-8")))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}


def words_in(document: Any) -> dict[int, Said]:
    """Return what the file's document holds. Raises `KeyError` or `TypeError` where it is none."""
    rows = document["utterances"] if document["format"] == FORMAT else []
    return {said.id: said for said in map(_said, rows) if said is not None}


def with_words(utterances: Iterable[Utterance], known: Mapping[int, Said]) -> tuple[Said, ...]:
    """Return the utterances of notes, with the word times of `known` where they are the same.

    The same is: one id, one wording and one place on the timeline. `words` is empty elsewhere.
    """
    return tuple(
        Said(u.id, u.start, u.end, u.heard, u.said, u.text, _words_of(u, known.get(u.id)))
        for u in utterances
    )


def _words_of(utterance: Utterance, said: Said | None) -> tuple[Word, ...]:
    if said is None or said.heard != utterance.heard or abs(said.start - utterance.start) > 0.01:
        return ()
    return said.words


def _row(said: Said) -> dict[str, Any]:
    words = [
        [w.text, round(w.start, 3) + 0.0, round(w.end, 3) + 0.0, round(w.probability, 3) + 0.0]
        for w in said.words
    ]
    start, end = round(said.start, 3) + 0.0, round(said.end, 3) + 0.0
    texts = {"heard": said.heard, "said": said.said, "text": said.text}
    return {"id": said.id, "start": start, "end": end, **texts, "words": words}


def _said(row: Any) -> Said | None:
    try:
        heard, said, text = (str(row[key]) for key in ("heard", "said", "text"))
        words = tuple(w for w in map(_word, row.get("words", ())) if w is not None)
        return Said(
            int(row["id"]), float(row["start"]), float(row["end"]), heard, said, text, words
        )
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def _word(cells: Any) -> Word | None:
    try:
        text, start, end, *more = cells
        word = Word(str(text), float(start), float(end), float(more[0]) if more else 1.0)
    except (ValueError, TypeError):
        return None
    return word if math.isfinite(word.start) and word.start <= word.end < math.inf else None
