"""Checks the values of one sheet file; every complaint names the line."""

from __future__ import annotations

import tomllib
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any, NoReturn

from ..errors import DataDamaged
from .lines import Lines, Place, entry

NEXT = "Mend the line; docs/sheet.md shows how a sheet is written."
LARGEST = 1e6


class Checker:
    """The parsed file, and one method for each kind of value that may stand in it."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.lines = Lines(text)
        try:
            self.raw = tomllib.loads(text)
        except RecursionError:
            raise DataDamaged(f"{name} is nested too deeply.", NEXT) from None
        except ValueError as error:  # also for a number of thousands of digits
            last = text.rstrip().count("\n") + 1
            what = str(error).replace("at end of document", f"at line {last}, the last")
            raise DataDamaged(f"{name} is not valid TOML: {what}.", NEXT) from error

    def wrong(self, what: str, place: Place, key: str = "") -> NoReturn:
        """Raise `DataDamaged` with the line of `key` in `place`."""
        named = entry(place, self.raw)
        where = f", line {self.lines.line(place, key)}" + (f" ({named})" if named else "")
        raise DataDamaged(f"{self.name}{where}: {what}.", NEXT)

    def tables(self, value: object, place: Place, name: str) -> list[dict[str, Any]]:
        """Return one or more tables."""
        if not isinstance(value, list) or not value or not all(isinstance(v, dict) for v in value):
            self.wrong(f"needs at least one [[{name}]]", place)
        return value

    def known(self, raw: Mapping[str, Any], keys: Sequence[str], place: Place) -> None:
        """Complain of a key that is not one of `keys`."""
        for key in raw:
            if key not in keys:
                self.wrong(f"there is no key {key!r}; use {', '.join(keys)}", place, key)

    def text(self, raw: Mapping[str, Any], key: str, place: Place) -> str:
        """Return a text that can stand in a cell of a table and be read back from it."""
        value = raw.get(key)
        if not isinstance(value, str) or not value.strip() or "\n" in value or "|" in value:
            self.wrong(f"{key} must be one line of text without |", place, key)
        line = " ".join(value.split())
        if not line.isprintable():
            self.wrong(f"{key} holds a sign that cannot be seen", place, key)
        return line

    def number(self, raw: Mapping[str, Any], key: str, place: Place) -> float:
        """Return a number, at most a million either way."""
        value = raw.get(key)
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.wrong(f"{key} must be a number", place, key)
        if not abs(value) <= LARGEST:
            self.wrong(f"{key} must be a number of at most {LARGEST:.0f}", place, key)
        return float(value)

    def whole(self, raw: Mapping[str, Any], key: str, place: Place) -> int | None:
        """Return a whole number from 0, None where the key is missing."""
        value = raw.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= LARGEST:
            self.wrong(f"{key} must be a whole number from 0", place, key)
        return value

    def flag(self, raw: Mapping[str, Any], key: str, place: Place) -> bool:
        """Return true or false; false where the key is missing."""
        value = raw.get(key, False)
        if not isinstance(value, bool):
            self.wrong(f"{key} must be true or false", place, key)
        return value

    def words(
        self, raw: Mapping[str, Any], key: str, place: Place, allowed: Sequence[str] | None = None
    ) -> tuple[str, ...]:
        """Return a list of words, each one of `allowed` where that is given."""
        value = raw.get(key, [])
        if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
            self.wrong(f"{key} must be a list of words in quotes", place, key)
        for word in value:
            if allowed is not None and word not in allowed:
                self.wrong(f"{key} cannot have {word!r}; use {', '.join(allowed)}", place, key)
        return tuple(" ".join(v.split()) for v in value)

    def unique(self, places: Sequence[tuple[Place, str]], key: str) -> None:
        """Complain of the second place where a name stands, in whatever case or width."""
        known: set[str] = set()
        for place, name in places:
            same = unicodedata.normalize("NFKC", name).casefold()
            if same in known:
                self.wrong(f"{key} {name!r} stands twice", place, key)
            known.add(same)
