"""Reading the small file in which a reviewer types what is not said: name, maker, size, price.

TOML or YAML, one flat table of the keys in ashdraft.facts:

    name = "Lantern No. 3"
    length_in = 5.625
    ring_gauge = 46
    obtained = "sample"
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path

from ..errors import DataDamaged, InputMissing, NotMedia, TranscriptDamaged, UsageError
from ..facts import NOTES_FACTS, TYPED_ONLY, checked
from ..model import FactValue
from .names import shown
from .text import read_text

KEYS = (*NOTES_FACTS, *TYPED_ONLY)


def read_facts_file(path: Path) -> dict[str, FactValue]:
    """The typed facts in a .toml, .yaml or .yml file, by the keys of ashdraft.facts.

    Raises InputMissing, UsageError (another kind of file) or DataDamaged, whose message names
    the line and the entry at fault.
    """
    suffix = path.suffix.lower()
    if suffix not in (".toml", ".yaml", ".yml"):
        raise UsageError(
            f"{shown(path)} is no facts file.", "Name it with .toml, .yaml or .yml at the end."
        )
    if not path.exists():
        raise InputMissing(f"There is no file {shown(path)}.", "Check the path of the facts file.")
    try:
        text = read_text(path)
    except NotMedia:
        return {}
    except TranscriptDamaged as error:
        raise DataDamaged(error.message, "Save the facts file as UTF-8 text.") from error
    table = _toml(path, text) if suffix == ".toml" else _yaml(path, text)
    facts: dict[str, FactValue] = {}
    for key, value in table.items():
        if key not in KEYS:
            near = difflib.get_close_matches(key, KEYS, 1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"use one of: {', '.join(KEYS)}"
            raise _damaged(path, _line_of(key, text), f"there is no fact {key!r}", hint)
        try:
            facts[key] = checked(key, value)
        except ValueError as error:
            raise _damaged(path, _line_of(key, text), f"{key}: {error}") from error
    return facts


def _toml(path: Path, text: str) -> Mapping[str, object]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        place = re.search(r"line (\d+)", str(error))
        line = int(place[1]) if place else text.rstrip().count("\n") + 1
        raise _damaged(path, line, "this is not TOML") from error


def _yaml(path: Path, text: str) -> Mapping[str, object]:
    import yaml

    try:
        table = yaml.safe_load(text)
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        mark = getattr(error, "problem_mark", None)
        raise _damaged(path, mark.line + 1 if mark else 1, "this is not YAML") from error
    if table is None:
        return {}
    if not isinstance(table, dict) or not all(isinstance(key, str) for key in table):
        raise _damaged(path, 1, "it must be lines of the form 'fact: value'")
    return table


def _line_of(key: str, text: str) -> int:
    match = re.search(rf"^[ \t]*[\"']?{re.escape(key)}\b", text, re.MULTILINE)
    return text.count("\n", 0, match.start()) + 1 if match else 1


def _damaged(path: Path, line: int, what: str, hint: str = "") -> DataDamaged:
    return DataDamaged(
        f"{shown(path)}, line {line}: {what}.",
        f"Mend that line{f' ({hint})' if hint else ''}; docs list every fact and its values.",
    )
