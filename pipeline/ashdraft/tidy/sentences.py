"""Capitals and full stops; for unpunctuated speech also the commas that are safe."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from .pieces import Piece, starts_sentence
from .vocabulary import vocabulary

_FIRST_PERSON = re.compile(r"^i(?=$|['’](?:m|ve|d|ll)$)")


def is_raw(pieces: Sequence[Piece]) -> bool:
    """Return True for speech as a recogniser may give it: no punctuation and no capitals."""
    inner = pieces[:-1]
    return (
        len(pieces) > 1
        and not any(p.stop for p in inner)
        and not any(c.isupper() for p in pieces for c in p.word)
    )


def punctuated(pieces: Sequence[Piece], raw: bool) -> list[Piece]:
    """Return `pieces` as written sentences: capitals, a last stop, safe commas in raw speech.

    Speech that stops in the middle ends in "…".
    """
    if not pieces:
        return []
    kept = _with_names([_first_person(p) for p in pieces])
    if raw:
        kept = _with_commas(kept)
    last = kept[-1]
    if last.stop not in SENTENCE_SIGNS or not last.stop:
        kept[-1] = replace(last, stop="…" if _is_unfinished(kept) else ".")
    return [
        _capital(p) if starts_sentence(kept, n) and not _abbreviated(kept, n) else p
        for n, p in enumerate(kept)
    ]


SENTENCE_SIGNS = frozenset(".!?…")


def _is_unfinished(pieces: Sequence[Piece]) -> bool:
    words = vocabulary()
    last = pieces[-1]
    if last.stop:
        return False
    before = pieces[-2].lower if len(pieces) > 1 else ""
    if last.lower in words.ends_after_subject:
        return bool(before) and before not in words.subjects
    if last.lower == "no":
        return before.endswith("'s") or before in words.verbs
    joined = before in words.joints and last.lower in words.unfinished_after_joint
    return last.lower in words.unfinished or joined


def _first_person(piece: Piece) -> Piece:
    return replace(piece, word=_FIRST_PERSON.sub("I", piece.word, count=1))


def _with_names(pieces: list[Piece]) -> list[Piece]:
    """Names of countries, leaves and days with their capitals, `honduras's` too."""
    names = vocabulary().capitals
    for at in range(len(pieces)):
        for size in (2, 1):
            row = pieces[at : at + size]
            stems = [p.lower.removesuffix("'s") for p in row]
            name = names.get(tuple(stems))
            if name and len(row) == size and all(p.word.islower() for p in row):
                pieces[at : at + size] = [
                    replace(p, word=written + p.word[len(written) :])
                    for p, written in zip(row, name, strict=True)
                ]
    return pieces


def _capital(piece: Piece) -> Piece:
    for n, character in enumerate(piece.word):
        if character.isalnum():
            upper = character.upper()
            mixed = piece.word[n + 1 :] != piece.word[n + 1 :].lower()
            if len(upper) > 1 or (mixed and not character.isupper()):
                return piece
            return replace(piece, word=piece.word[:n] + upper + piece.word[n + 1 :])
    return piece


def _abbreviated(pieces: Sequence[Piece], at: int) -> bool:
    """True after `e.g.` and the like, which end no sentence."""
    return at > 0 and pieces[at - 1].stop == "." and "." in pieces[at - 1].word


def _with_commas(pieces: list[Piece]) -> list[Piece]:
    subjects = vocabulary().subjects
    for n in range(2, len(pieces) - 2):
        joint, subject = pieces[n].lower, pieces[n + 1].lower
        clause = subject in subjects and joint in ("but", "so") and subject != "that"
        if clause and not pieces[n - 1].stop and pieces[n - 1].lower not in ("and", "but", "or"):
            pieces[n - 1] = replace(pieces[n - 1], stop=",")
    return pieces
