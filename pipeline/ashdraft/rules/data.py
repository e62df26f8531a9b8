"""Reads lexicon and cue files from `ashdraft_models` and checks them.

Lexicon: models/ashdraft_models/lexicon/FAMILY.toml, `terms = ["cedar", ...]`.
Cues: models/ashdraft_models/cues/*.toml, `[[cue]]` tables with `id` and `phrases`.
"""

from __future__ import annotations

import hashlib
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import ashdraft_models

from ..errors import DataDamaged


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise DataDamaged(f"{path.name} cannot be read: {error}", "Mend the file.") from error


def _strings(value: object, path: Path, where: str) -> list[str]:
    if not isinstance(value, list) or not all(isinstance(v, str) and v.strip() for v in value):
        raise DataDamaged(
            f"{path.name}: {where} must be a list of words or phrases.", "Mend the file."
        )
    return [" ".join(v.lower().split()) for v in value]


@cache
def lexicon() -> dict[str, str]:
    """Term to family, all terms in lower case."""
    terms: dict[str, str] = {}
    for path in sorted((ashdraft_models.ROOT / "lexicon").glob("*.toml")):
        for term in _strings(_read(path).get("terms"), path, "terms"):
            if terms.setdefault(term, path.stem) != path.stem:
                raise DataDamaged(
                    f"{path.name}: {term!r} already stands in {terms[term]}.toml.",
                    "Keep it in one family.",
                )
    return terms


@cache
def cues() -> dict[str, tuple[str, ...]]:
    """Cue id to its phrases."""
    found: dict[str, tuple[str, ...]] = {}
    for path in sorted((ashdraft_models.ROOT / "cues").glob("*.toml")):
        for entry in _read(path).get("cue", []):
            name = entry.get("id")
            if not isinstance(name, str) or name in found:
                raise DataDamaged(
                    f"{path.name}: cue id {name!r} missing or used twice.", "Mend the file."
                )
            found[name] = tuple(_strings(entry.get("phrases"), path, f"phrases of {name}"))
    return found


@cache
def fingerprint() -> str:
    """Short SHA-256 over all data that decides what a draft says, for `made_by.lexicon`."""
    digest = hashlib.sha256()
    for folder in ("lexicon", "cues", "reading", "repair", "tidy", "sheets"):
        for path in sorted((ashdraft_models.ROOT / folder).rglob("*")):
            if path.suffix in {".toml", ".txt", ".json", ".npz"}:
                digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]
