"""Reads a sheet definition (TOML) and says, with its line, what is wrong in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any, get_args

import ashdraft_models

from ..errors import DataDamaged, InputMissing
from ..facts import NOTES_FACTS
from ..model import Source, Timing
from .check import Checker
from .definition import Gathers, Question, Row, Scale, SheetDefinition, SheetSection, exact
from .lines import Place
from .topics import topics

DEFAULT = ashdraft_models.ROOT / "sheets" / "default.toml"
FORMAT, VERSION = "ashdraft-sheet", 1
COUNTS = ("touch_ups", "relights")
WHOLE = 100
"""What the weights of a sheet add up to, so that a weight is a share."""
ROUNDING = exact(0.1)
"""How far off they may be, for thirds and sevenths that were written in decimals."""

_SHEET_KEYS = ("format", "version", "name", "scale", "section", "question")
_SCALE_KEYS = ("lowest", "highest", "step", "anchors")
_SECTION_KEYS = ("id", "name", "row")
_ROW_KEYS = (
    "id", "name", "asks", "weight", "spoken",
    "topics", "sources", "families", "counts", "facts", "timing", "changes",
)  # fmt: skip
_QUESTION_KEYS = (
    "rows", "mark_from", "mark_to", "counts", "at_least", "at_most", "words", "silent", "ask",
)  # fmt: skip
_SHEET, _SCALE, _ANCHORS = Place(), Place("scale"), Place("scale.anchors")


def load_sheet(path: Path | None = None) -> SheetDefinition:
    """Return the sheet in the file `path`, or the default sheet.

    Raises `InputMissing` where the file cannot be read and `DataDamaged` where it is no valid
    sheet; the message names the file, the line and the entry.
    """
    if path is None:
        return _default()
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise InputMissing(
            f"The sheet {path.name} cannot be read: {error.strerror}.",
            "Check the path after --sheet, or leave it out for the default sheet.",
        ) from error
    except UnicodeDecodeError as error:
        raise DataDamaged(f"{path.name} is not UTF-8 text.", "Save it as UTF-8.") from error
    return parse_sheet(path.name, text)


@cache
def _default() -> SheetDefinition:
    return load_sheet(DEFAULT)


def parse_sheet(name: str, text: str) -> SheetDefinition:
    """Return the sheet that `text` defines; errors are those of `load_sheet`."""
    check = Checker(name, text)
    raw = check.raw
    check.known(raw, _SHEET_KEYS, _SHEET)
    if raw.get("format") != FORMAT:
        check.wrong(f'format must be "{FORMAT}"', _SHEET, "format")
    if raw.get("version") != VERSION or isinstance(raw["version"], bool):
        check.wrong(f"version must be {VERSION}", _SHEET, "version")
    scale = _scale(check)
    tables = check.tables(raw.get("section"), _SHEET, "section")
    sections = tuple(_section(check, n, entry) for n, entry in enumerate(tables))
    rows = [
        (Place("section.row", (n, m)), row)
        for n, section in enumerate(sections)
        for m, row in enumerate(section.rows)
    ]
    for key in ("id", "name"):
        named = [(Place("section", (n,)), getattr(s, key)) for n, s in enumerate(sections)]
        check.unique(named, key)
        check.unique([(place, getattr(row, key)) for place, row in rows], key)
    check.unique([(place, w) for place, row in rows for w in row.spoken], "spoken")
    total = sum((exact(row.weight) for _, row in rows), Fraction(0))
    if abs(total - WHOLE) > ROUNDING:
        what = f"the weights of all rows add up to {float(total):g} and must add up to {WHOLE}"
        check.wrong(what, rows[-1][0], "weight")
    asked = check.tables(raw["question"], _SHEET, "question") if "question" in raw else []
    ids = [row.id for _, row in rows]
    questions = tuple(_question(check, n, entry, ids, scale) for n, entry in enumerate(asked))
    title = check.text(raw, "name", _SHEET)
    return SheetDefinition(title, name, scale, sections, questions, text)


def _scale(check: Checker) -> Scale:
    raw = check.raw.get("scale")
    if not isinstance(raw, dict):
        check.wrong("needs a [scale] with lowest and highest", _SHEET, "scale")
    check.known(raw, _SCALE_KEYS, _SCALE)
    lowest, highest = (check.number(raw, key, _SCALE) for key in ("lowest", "highest"))
    step = check.number(raw, "step", _SCALE) if "step" in raw else 1.0
    if step <= 0:
        check.wrong("step must be above 0", _SCALE, "step")
    if highest <= lowest:
        check.wrong("highest must be above lowest", _SCALE, "highest")
    scale = Scale(lowest, highest, step)
    if not scale.holds(exact(highest)):
        what = f"from {lowest:g} to {highest:g} is no whole number of steps of {step:g}"
        check.wrong(what, _SCALE, "step" if "step" in raw else "highest")
    return Scale(lowest, highest, step, _anchors(check, raw.get("anchors", {}), scale))


def _anchors(check: Checker, named: object, scale: Scale) -> dict[float, str]:
    if not isinstance(named, dict):
        check.wrong("anchors must be a table of marks and words", _SCALE, "anchors")
    anchors: dict[float, str] = {}
    for key, words in named.items():
        if isinstance(words, dict):
            check.wrong(f'a mark with a point stands in quotes: "{key}.5"', _ANCHORS, key)
        mark = float(key) if re.fullmatch(r"-?[0-9]{1,9}(\.[0-9]{1,9})?", key) else None
        if mark is None or not scale.holds(exact(mark)) or mark in anchors:
            check.wrong(f"the anchor {key} must be a mark of the scale, once", _ANCHORS, key)
        anchors[mark] = check.text(named, key, _ANCHORS)
    return dict(sorted(anchors.items()))


def _section(check: Checker, n: int, raw: Mapping[str, Any]) -> SheetSection:
    place = Place("section", (n,))
    check.known(raw, _SECTION_KEYS, place)
    rows = check.tables(raw.get("row"), place, "section.row")
    made = tuple(_row(check, Place("section.row", (n, m)), entry) for m, entry in enumerate(rows))
    return SheetSection(check.text(raw, "id", place), check.text(raw, "name", place), made)


def _row(check: Checker, place: Place, raw: Mapping[str, Any]) -> Row:
    from ..rules.data import lexicon

    check.known(raw, _ROW_KEYS, place)
    weight = check.number(raw, "weight", place)
    if weight <= 0:
        check.wrong("weight must be above 0", place, "weight")
    return Row(
        id=check.text(raw, "id", place),
        name=check.text(raw, "name", place),
        asks=check.text(raw, "asks", place) if "asks" in raw else "",
        weight=weight,
        spoken=tuple(w.lower() for w in check.words(raw, "spoken", place)),
        gathers=Gathers(
            topics=check.words(raw, "topics", place, tuple(topics())),
            sources=check.words(raw, "sources", place, get_args(Source)),
            families=check.words(raw, "families", place, sorted(set(lexicon().values()))),
            counts=check.words(raw, "counts", place, COUNTS),
            facts=check.words(raw, "facts", place, tuple(NOTES_FACTS)),
            timing=check.words(raw, "timing", place, tuple(Timing.__dataclass_fields__)),
            changes=check.flag(raw, "changes", place),
        ),
    )


def _question(
    check: Checker, n: int, raw: Mapping[str, Any], ids: Sequence[str], scale: Scale
) -> Question:
    place = Place("question", (n,))
    check.known(raw, _QUESTION_KEYS, place)
    for key in ("mark_from", "mark_to"):
        if key in raw and not scale.holds(exact(check.number(raw, key, place))):
            check.wrong(f"{key} must be a mark of the scale", place, key)
    question = Question(
        rows=check.words(raw, "rows", place, ids) if "rows" in raw else tuple(ids),
        ask=check.text(raw, "ask", place),
        mark_from=check.number(raw, "mark_from", place) if "mark_from" in raw else None,
        mark_to=check.number(raw, "mark_to", place) if "mark_to" in raw else None,
        counts=check.words(raw, "counts", place, COUNTS),
        at_least=check.whole(raw, "at_least", place),
        at_most=check.whole(raw, "at_most", place),
        words=check.words(raw, "words", place),
        silent=check.flag(raw, "silent", place),
    )
    if not question.rows:
        check.wrong("rows must name a row, or be left out for all rows", place, "rows")
    bounded = question.at_least is not None or question.at_most is not None
    if bool(question.counts) != bounded:
        check.wrong("counts go with at_least or at_most, and these with counts", place, "counts")
    if sum((bool(question.counts), bool(question.words), question.silent)) != 1:
        check.wrong("needs one of counts, words and silent, and only one", place)
    return question
