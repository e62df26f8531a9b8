"""The wheel's list of packages is written out by hand, since one folder has another name."""

from __future__ import annotations

import tomllib

from tests.docs.readme import README

TOP = README.parent
SETTINGS = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]


def test_every_package_is_in_the_wheel() -> None:
    found = {
        ".".join((name, *init.parent.relative_to(TOP / folder).parts))
        for name, folder in SETTINGS["package-dir"].items()
        for init in (TOP / folder).rglob("__init__.py")
    }
    assert found == set(SETTINGS["packages"])


def test_every_module_belongs_to_a_package() -> None:
    for folder in SETTINGS["package-dir"].values():
        for module in (TOP / folder).rglob("*.py"):
            assert (module.parent / "__init__.py").exists(), module
