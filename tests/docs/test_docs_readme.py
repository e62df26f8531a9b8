"""README's two commands: there, whole, and the ones CI runs."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from tests.docs.readme import NAMES, README, commands

TOP = README.parent
RUN = (TOP / ".ci" / "run").read_text(encoding="utf-8")
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
READ = commands(README.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", NAMES)
def test_readme_commands_begin_on_a_bare_machine(name: str) -> None:
    steps = READ[name].split(" && ")
    assert steps[0] == "python3 -m venv .venv"
    assert all(step.startswith(".venv/bin/") for step in steps[1:])


def test_readme_first_command_runs_the_demo_and_the_second_the_tests() -> None:
    assert READ["demo"].endswith(".venv/bin/ashdraft demo")
    assert READ["test"].endswith(".venv/bin/pytest")


@pytest.mark.parametrize("name", NAMES)
def test_readme_commands_name_extras_that_exist(name: str) -> None:
    extras = re.findall(r'"\.\[([\w,]+)\]"', READ[name])
    assert extras
    assert set(extras[0].split(",")) <= set(PROJECT["optional-dependencies"])


@pytest.mark.parametrize("name", NAMES)
def test_ci_runs_the_readme_commands_and_has_no_copy_of_them(name: str) -> None:
    assert f"readme.py {name}" in RUN
    assert READ[name] not in RUN


@pytest.mark.parametrize(
    "text",
    ["no block", "```sh\na\n```\n", "```sh\na\nb\n```\n```sh\nc\n```\n", "```sh\na\n```\n" * 3],
)
def test_readme_with_other_blocks_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="two sh blocks"):
        commands(text)


def test_readme_python_versions_are_those_of_the_package() -> None:
    text = README.read_text(encoding="utf-8")
    low, high = re.findall(r"3\.(\d+)", PROJECT["requires-python"])
    assert f"Python 3.{low} to 3.{int(high) - 1}" in text


def test_changelog_has_the_version() -> None:
    changes = Path(TOP, "docs", "changelog.md").read_text(encoding="utf-8")
    assert f"\n## {PROJECT['version']}" in changes
