"""Things marked that no list knows: `Nerve, seven out of ten`, `the resistance gets an eight`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..ground import Ground
from ..phrases import pattern
from ..stream import words
from .figures import Figure
from .found import Sections

_NO_THING = words(
    "a about again all also and another any anyway as at because but by call certainly conclusion "
    "course definitely did do easily even every everybody few finally firmly first fine for from "
    "give go good he her here him his honestly how i if in into it its just last let like lots "
    "make maybe me more most my myself near next no not now of oh okay on once one only or our out "
    "overall part perhaps please probably put really right roughly same say second see she so some "
    "sorry still stop than thanks that the their them then there these they think third this those "
    "time to today tonight too total twice under us verdict very wait was we well what when where "
    "which while who why will with would yeah yep yes yet you your number mark marks score scores "
    "star stars point points rating hmm actually correction update final revised scale cigar stick "
    "alright look though mine over add divided into minus plus less simply price cost costs box "
    "paid nobody anybody honest sum lit money"
)
"""Words that name nothing a mark could be for."""

_HEAD = re.compile(
    r"(?:and |then |so |now |next |as )*(?:for |on )?(?:the |its |my )?"
    r"(?P<name>[a-z]+(?: [a-z]+)??)"
    r"(?P<link>(?: (?:gets|get|is|'s|are|at|earns|scores|takes|i|'d|'ll|give|say|put|it|a|an|the|"
    r"that|go|solid|clean|down|as|good|strong))*) "
)


def open_items(
    ground: Ground,
    sections: Sections,
    taken: Sequence[tuple[int, int]],
    figures: Sequence[Figure],
    scale: float | None,
) -> list[tuple[str, int, int]]:
    """Name and words (first, end) of each; `taken` are the words of the items that are known.

    The thing opens its sentence and its mark follows at once; a mark without its scale must end
    the sentence, in the verdict, right behind or before a mark that is known.
    """
    row = ground.row
    lines = {row.words[first].line for first, _ in taken}
    handled = pattern("{counts.noun}|{counts.nouns}|{counts.relight-noun}|{counts.relight-nouns}")
    found = []
    for figure in figures:
        start, _ = row.sentence(figure.first, 9)
        head = _HEAD.fullmatch(row.said(start, figure.first) + " ")
        if head is None or set(head["name"].split()) & _NO_THING or handled.search(head[0]):
            continue
        first = start + len(head[0][: head.start("name")].split())
        end = first + len(head["name"].split())
        if any(first < b and a < end for a, b in taken):
            continue
        alone = figure.end >= len(row.words) or row.words[figure.end].gap > 0
        apart = row.words[end].gap > 0 or bool(head["link"])
        near = sections.of(first) == "verdict" and any(
            abs(row.words[first].line - n) <= 1 for n in lines
        )
        if apart and (figure.told or (scale is not None and alone and near)):
            found.append((head["name"], first, end))
    return found
