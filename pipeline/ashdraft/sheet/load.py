"""Reads a sheet definition (TOML) and says, with its line, what is wrong in it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NoReturn, get_args

import ashdraft_models

from ..errors import DataDamaged, InputMissing
from ..facts import NOTES_FACTS
from ..model import Source, Timing
from .definition import Gathers, Row, Scale, SheetDefinition, SheetSection
from .topics import topics

DEFAULT = ashdraft_models.ROOT / "sheets" / "default.toml"
FORMAT, VERSION = "ashdraft-sheet", 1
COUNTS = ("touch_ups", "relights")

_SHEET_KEYS = ("format", "version", "name", "scale", "section")
_SCALE_KEYS = ("lowest", "highest", "step", "anchors")
_SECTION_KEYS = ("id", "name", "row")
_ROW_KEYS = (
    "id", "name", "asks", "weight", "spoken",
    "topics", "sources", "families", "counts", "facts", "timing", "changes",
)  # fmt: skip
_HEADER = re.compile(r"\s*\[(\[)?\s*([\w.\- ]+?)\s*\]\]?\s*(?:#.*)?$")


def load_sheet(path: Path | None = None) -> SheetDefinition:
    """Return the sheet in the file `path`, or the default sheet.

    Raises `InputMissing` where the file cannot be read and `DataDamaged` where it is no valid
    sheet; the message names the file, the line and the entry.
    """
    path = path or DEFAULT
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise InputMissing(
            f"The sheet {path.name} cannot be read: {error.strerror}.",
            "Check the path after --sheet, or leave it out for the default sheet.",
        ) from error
    except UnicodeDecodeError as error:
        raise DataDamaged(f"{path.name} is not UTF-8 text.", "Save it as UTF-8.") from error
    return _Loader(path.name, text).sheet()


class _Loader:
    """Checks one file; every complaint goes through `wrong`, which finds the line."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.lines = text.splitlines()
        try:
            self.raw = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise DataDamaged(f"{name} is not valid TOML: {error}.", _NEXT) from error
        except RecursionError:
            raise DataDamaged(f"{name} is nested too deeply.", _NEXT) from None

    def sheet(self) -> SheetDefinition:
        raw = self.raw
        self.known(raw, _SHEET_KEYS, "")
        if raw.get("format") != FORMAT or raw.get("version") != VERSION:
            self.wrong(f'must say format = "{FORMAT}" and version = {VERSION}', "")
        scale = self.scale()
        sections = self.tables(raw.get("section"), "", "section")
        made = tuple(self.section(n, entry) for n, entry in enumerate(sections))
        rows = {
            f"section {n} row {m}": row
            for n, section in enumerate(made)
            for m, row in enumerate(section.rows)
        }
        for key in ("id", "name"):
            self.unique([(f"section {n}", getattr(s, key)) for n, s in enumerate(made)], key)
            self.unique([(where, getattr(row, key)) for where, row in rows.items()], key)
        self.unique([(where, w) for where, row in rows.items() for w in row.spoken], "spoken")
        return SheetDefinition(self.text(raw, "name", ""), self.name, scale, made)

    def scale(self) -> Scale:
        raw = self.raw.get("scale")
        if not isinstance(raw, dict):
            self.wrong("needs a [scale] with lowest and highest", "")
        self.known(raw, _SCALE_KEYS, "scale")
        lowest, highest = (self.number(raw, key, "scale") for key in ("lowest", "highest"))
        step = self.number(raw, "step", "scale") if "step" in raw else 1.0
        steps = (highest - lowest) / step if step > 0 else 0.0
        if steps < 1 or abs(steps - round(steps)) > 1e-9:
            self.wrong("highest must be lowest plus a whole number of steps", "scale", "highest")
        anchors: dict[float, str] = {}
        named = raw.get("anchors", {})
        if not isinstance(named, dict):
            self.wrong("anchors must be a table of marks and words", "scale", "anchors")
        for key, words in named.items():
            mark = float(key) if re.fullmatch(r"-?\d+(\.\d+)?", key) else None
            good = isinstance(words, str) and words.strip() and "\n" not in words
            if mark is None or not lowest <= mark <= highest or not good:
                self.wrong(f"the anchor {key} must be a mark of the scale with words", "scale", key)
            anchors[mark] = words
        return Scale(lowest, highest, step, dict(sorted(anchors.items())))

    def section(self, n: int, raw: Mapping[str, Any]) -> SheetSection:
        where = f"section {n}"
        self.known(raw, _SECTION_KEYS, where)
        rows = self.tables(raw.get("row"), where, "section.row")
        made = tuple(self.row(n, m, entry) for m, entry in enumerate(rows))
        return SheetSection(self.text(raw, "id", where), self.text(raw, "name", where), made)

    def row(self, n: int, m: int, raw: Mapping[str, Any]) -> Row:
        from ..rules.data import lexicon

        where = f"section {n} row {m}"
        self.known(raw, _ROW_KEYS, where)
        weight = self.number(raw, "weight", where)
        if weight <= 0:
            self.wrong("weight must be above 0", where, "weight")
        changes = raw.get("changes", False)
        if not isinstance(changes, bool):
            self.wrong("changes must be true or false", where, "changes")
        return Row(
            id=self.text(raw, "id", where),
            name=self.text(raw, "name", where),
            asks=self.text(raw, "asks", where) if "asks" in raw else "",
            weight=weight,
            spoken=tuple(w.lower() for w in self.words(raw, "spoken", where)),
            gathers=Gathers(
                topics=self.words(raw, "topics", where, tuple(topics())),
                sources=self.words(raw, "sources", where, get_args(Source)),
                families=self.words(raw, "families", where, sorted(set(lexicon().values()))),
                counts=self.words(raw, "counts", where, COUNTS),
                facts=self.words(raw, "facts", where, tuple(NOTES_FACTS)),
                timing=self.words(raw, "timing", where, tuple(Timing.__dataclass_fields__)),
                changes=changes,
            ),
        )

    def tables(self, value: object, where: str, name: str) -> list[dict[str, Any]]:
        if not isinstance(value, list) or not value or not all(isinstance(v, dict) for v in value):
            self.wrong(f"needs at least one [[{name}]]", where)
        return value

    def known(self, raw: Mapping[str, Any], keys: Sequence[str], where: str) -> None:
        for key in raw:
            if key not in keys:
                self.wrong(f"there is no key {key!r}; use {', '.join(keys)}", where, key)

    def text(self, raw: Mapping[str, Any], key: str, where: str) -> str:
        value = raw.get(key)
        if not isinstance(value, str) or not value.strip() or "\n" in value or "|" in value:
            self.wrong(f"{key} must be one line of text without |", where, key)
        return " ".join(value.split())

    def number(self, raw: Mapping[str, Any], key: str, where: str) -> float:
        value = raw.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= 1e6:
            self.wrong(f"{key} must be a number", where, key)
        return float(value)

    def words(
        self, raw: Mapping[str, Any], key: str, where: str, allowed: Sequence[str] | None = None
    ) -> tuple[str, ...]:
        value = raw.get(key, [])
        if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
            self.wrong(f"{key} must be a list of words in quotes", where, key)
        for word in value:
            if allowed is not None and word not in allowed:
                self.wrong(f"{key} cannot have {word!r}; use {', '.join(allowed)}", where, key)
        return tuple(" ".join(v.split()) for v in value)

    def unique(self, places: Sequence[tuple[str, str]], key: str) -> None:
        """Complain of the second place where a name stands; `places` are (where, name)."""
        known: set[str] = set()
        for where, name in places:
            if name in known:
                self.wrong(f"{key} {name!r} stands twice", where, key)
            known.add(name)

    def wrong(self, what: str, where: str, key: str = "") -> NoReturn:
        """Raise `DataDamaged` with the line of `key` in `where` ("section 1 row 2")."""
        line, entry = self.line(where, key), self.entry(where)
        place = "".join([f", line {line}" if line else "", f" ({entry})" if entry else ""])
        raise DataDamaged(f"{self.name}{place}: {what}.", _NEXT)

    def line(self, where: str, key: str) -> int | None:
        """The line of a key in its table, of the table where the key is missing."""
        first, stop = self.block(where)
        if first is None:
            return None
        for n in range(first, stop):
            if key and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", self.lines[n]):
                return n + 1
        return first + 1

    def block(self, where: str) -> tuple[int | None, int]:
        """First line and line after the last of a table, counting lines from 0."""
        counts = [int(n) for n in re.findall(r"\d+", where)]
        section = row = -1
        found: int | None = 0 if not where else None
        for n, line in enumerate(self.lines):
            header = _HEADER.match(line)
            if not header:
                continue
            name = header[2].replace(" ", "")
            if found is not None and not (where == "scale" and name == "scale.anchors"):
                return found, n
            if name == "section":
                section, row = section + 1, -1
            row += name == "section.row"
            here = [section, row] if name == "section.row" else [section]
            if (where == "scale" and name == "scale") or (
                counts and name.startswith("section") and counts == here
            ):
                found = n
        return found, len(self.lines)

    def entry(self, where: str) -> str:
        """The id of the entry as its author knows it."""
        table: Any = self.raw.get("section", [])
        name = where
        for n in (int(n) for n in re.findall(r"\d+", where)):
            try:
                name = table[n].get("id", where)
                table = table[n].get("row", [])
            except (AttributeError, IndexError, KeyError, TypeError):
                return where
        return str(name)


_NEXT = "Mend the line; docs/sheet.md shows how a sheet is written."
