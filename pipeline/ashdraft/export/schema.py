"""The JSON Schema of `notes.json` (draft 2020-12), and what a schema cannot say."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from jsonschema.protocols import Validator

SCHEMA_FILE = "notes.schema.json"


class NotesInvalid(ValueError):
    """A document that is not `notes.json`; says where, and never quotes it."""


@cache
def schema() -> Mapping[str, Any]:
    """Return the schema that ships with the package."""
    text = files(__package__).joinpath(SCHEMA_FILE).read_text("utf-8")
    loaded: Mapping[str, Any] = json.loads(text)
    return loaded


def validate(document: Any) -> None:
    """Raise `NotesInvalid` unless `document` (plain dicts and lists) is a whole `notes.json`.

    Checks the schema, then that utterances have ids of their own and that every statement
    points at one of them, then the rows of a tallied sheet.
    """
    for error in _validator().iter_errors(document):
        raise NotesInvalid(f"{error.json_path} breaks the rule {error.validator!r}")
    ids = [u["id"] for u in document["utterances"]]
    known = set(ids)
    if len(known) < len(ids):
        raise NotesInvalid("$.utterances has an id twice")
    for kind in ("descriptors", "events", "marks", "repairs"):
        for at, row in enumerate(document[kind]):
            if row["utterance"] not in known:
                raise NotesInvalid(f"$.{kind}[{at}] points at no utterance")
    for kind, count in document["counts"].items():
        if not known.issuperset(count["utterances"]):
            raise NotesInvalid(f"$.counts.{kind} points at no utterance")
    for at, row in enumerate(document.get("taps", ())):
        if row["utterance"] is not None and row["utterance"] not in known:
            raise NotesInvalid(f"$.taps[{at}] points at no utterance")
    _validate_sheet(document.get("sheet"))


def _validate_sheet(sheet: Mapping[str, Any] | None) -> None:
    """Every row of a tallied sheet is there once; those called unmarked are, and so is a total."""
    if sheet is None:
        return
    marks = {row["id"]: row["mark"] for row in sheet["rows"]}
    if len(marks) < len(sheet["rows"]):
        raise NotesInvalid("$.sheet.rows has an id twice")
    if any(marks.get(name, 0) is not None for name in sheet["unmarked"]):
        raise NotesInvalid("$.sheet.unmarked points at no row without a mark")
    if sheet["unmarked"] and sheet["total"] is not None:
        raise NotesInvalid("$.sheet.total stands beside unmarked rows")


@cache
def _validator() -> Validator:
    from jsonschema import Draft202012Validator

    return Draft202012Validator(dict(schema()))
